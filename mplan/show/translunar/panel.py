"""The panel of the way to the Moon: when to go, how fast, which way round."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import ipywidgets as widgets

from mplan.physics.constants import DEG, HOUR
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.show import notes
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.palette import Theme
from mplan.show.mission import flight_path
from mplan.show.panels.knobs import LAUNCH_DAY, Choice, Count, Knob
from mplan.show.panels.panel import Panel
from mplan.show.reached import asks_splash
from mplan.show.translunar import moon_view, tables, turning_frame
from mplan.show.translunar.scan import WindowScan

AZIMUTH = Knob("launch_site.azimuth", "launch azimuth", "deg", DEG, 0.0, 360.0, 0.5)
KNOBS = (
    Knob(LAUNCH_DAY, "launch day, later by", "d", 1.0, -15.0, 15.0, 1.0),
    Knob("dates.translunar_time", "time to the Moon", "h", HOUR, 60.0, 110.0, 0.5),
    Knob("orbits.parking_altitude", "parking orbit", "km", 1e3, 150.0, 500.0, 5.0),
    Count("orbits.parking_revolutions", "parking revolutions", "rev", 1.0, 0.0, 4.0, 1.0),
    Knob("orbits.lunar_altitude", "lunar orbit", "km", 1e3, 60.0, 300.0, 5.0),
    Knob("orbits.flyby_altitude", "flyby altitude", "km", 1e3, 100.0, 3000.0, 50.0),
    Choice("dates.side", "Moon met on the leg", ("ascending", "descending")),
    Choice("orbits.approach", "round the Moon", ("retrograde", "prograde")),
)


@asks_splash
def panel(scenario: Scenario, *, theme: Theme | None = None) -> TranslunarPanel:
    """Return the panel on a scenario; ScenarioError where the scenario itself does not fly."""
    return TranslunarPanel(scenario, theme)


class TranslunarPanel(Panel):
    """Figures and pictures of the way to the Moon, and the launch windows of a month."""

    charts = (
        Chart(turning_frame.drawing, turning_frame.WIDTH),
        Chart(moon_view.drawing, moon_view.WIDTH),
        Chart(flight_path.drawing, flight_path.WIDTH),
    )

    def knobs(self, scenario: Scenario) -> Iterable[Knob | Choice]:
        """Return the knobs of the way to the Moon; at a fixed clock time the azimuth is none."""
        place = scenario.launch_site
        low, high = place.azimuth_min / DEG, place.azimuth_max / DEG
        free = scenario.dates.launch_time is None
        azimuth = [replace(AZIMUTH, low=low, high=high)] if free else []
        every: tuple[Knob | Choice, ...] = (*KNOBS, *azimuth)
        return [knob for knob in every if knob.read(scenario) is not None]

    def told(self, plan: Plan, before: Plan) -> str:
        """Return the figures of the way to the Moon."""
        return notes.facts(tables.facts(plan), tables.facts(before))

    def found(self, plan: Plan, before: Plan) -> str:
        """Leave the findings to the panel of the whole mission."""
        return ""

    def _laid_out(self) -> list[widgets.Widget]:
        self.scan = WindowScan(lambda: self.plan, self._lock, self._theme)
        self.scan.start.observe(lambda change: self.keep_soon(), "disabled")  # begun, or over
        return [*super()._laid_out(), self.scan]
