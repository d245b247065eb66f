"""The panel of the climb: thrust, loads, orbit and limits, flown again at every move."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress

from mplan.physics.constants import DEG
from mplan.plan import Plan
from mplan.scenario import Scenario, ScenarioError
from mplan.scenario.wording import plain
from mplan.show import notes, reached
from mplan.show.climb import loss_bars, tables
from mplan.show.climb.curves import ACCELERATION, ALTITUDE, PRESSURE
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.palette import Theme
from mplan.show.panels.knobs import Count, Knob
from mplan.show.panels.panel import Panel
from mplan.show.reached import asks_climb

KNOBS = (
    Knob("orbits.parking_altitude", "parking orbit", "km", 1e3, 150.0, 500.0, 5.0),
    Knob("launch_site.azimuth", "launch azimuth", "deg", DEG, 35.0, 145.0, 1.0),
    Knob("climb.vertical_rise_time", "vertical rise time", "s", 1.0, 5.0, 40.0, 1.0),
    Knob("climb.acceleration_limit", "acceleration limit", "m/s2", 1.0, 25.0, 60.0, 1.0),
    Knob("climb.pressure_limit", "pressure limit", "kPa", 1e3, 20.0, 50.0, 1.0),
    Knob("mission.payload_down", "payload down", "kg", 1.0, 0.0, 2000.0, 50.0),
)


@asks_climb
def panel(scenario: Scenario, *, theme: Theme | None = None) -> ClimbPanel:
    """Return the panel on a scenario; ScenarioError where the scenario itself does not fly."""
    return ClimbPanel(scenario, theme)


class ClimbPanel(Panel):
    """Figures and pictures of the climb."""

    reach = staticmethod(reached.climb)
    charts = (
        Chart(ALTITUDE.drawing, ALTITUDE.WIDTH),
        Chart(PRESSURE.drawing, PRESSURE.WIDTH),
        Chart(ACCELERATION.drawing, ACCELERATION.WIDTH),
        Chart(loss_bars.drawing, loss_bars.WIDTH),
    )

    def knobs(self, scenario: Scenario) -> Iterable[Knob]:
        """Return the knobs of the climb that a scenario has."""
        return [x for x in (*KNOBS, *engines(scenario)) if _has(x, scenario)]

    def told(self, plan: Plan, before: Plan) -> str:
        """Return the figures of the climb."""
        known = tables.facts(plan)
        del known["steering"]  # the panel has its own line for it
        return notes.facts(known, tables.facts(before))

    def found(self, plan: Plan, before: Plan) -> str:
        """Leave the findings to the panel of the whole mission."""
        return ""


def engines(scenario: Scenario) -> list[Knob]:
    """Return a knob for the number of engines of each stage that climbs with several."""
    burns = [x for x in scenario.events if x.do == "burn" and x.leg == "climb"]
    found: list[Knob] = []
    for burn in burns:
        main = scenario.elements[burn.element].engines
        name = burn.engine or next(k for k, x in main.items() if x.purpose == "main")
        if main[name].count > 1:
            key = f"elements.{burn.element}.engines.{name}.count"
            title = f"engines, {plain(burn.element)}"
            found.append(Count(key, title, "", 1.0, 1.0, 2.0 * main[name].count, 1.0))
    return found


def _has(knob: Knob, scenario: Scenario) -> bool:
    """Return whether a scenario has a value where the knob turns."""
    with suppress(ScenarioError, AttributeError, KeyError):
        return knob.read(scenario) is not None
    return False
