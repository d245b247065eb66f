"""The panel of the way home: when to leave, how fast, how steep, and to which place."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass

from mplan.flight.entry import aimed_range
from mplan.physics.constants import DEG, HOUR
from mplan.plan import Plan
from mplan.scenario import Scenario, ScenarioError
from mplan.show import notes
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.palette import Theme
from mplan.show.homeward import tables
from mplan.show.mission import flight_path
from mplan.show.panels.knobs import Knob, SwitchedKnob
from mplan.show.panels.panel import Panel, Values
from mplan.show.reached import asks_home
from mplan.show.translunar import turning_frame

LONGITUDE = SwitchedKnob(
    "recovery.longitude", "splash at longitude", "deg", DEG, -180.0, 180.0, 5.0
)
LATITUDE = Knob("recovery.latitude", "splash at latitude", "deg", DEG, -45.0, 45.0, 1.0)
KNOBS = (
    Knob("dates.transearth_time", "time home", "h", HOUR, 50.0, 110.0, 0.5),
    Knob("orbits.entry_angle", "entry angle", "deg", DEG, -7.4, -5.2, 0.1),
    Knob("mission.lunar_orbit_stay", "lunar-orbit stay", "h", HOUR, 2.0, 240.0, 2.0),
    Knob("orbits.flyby_altitude", "flyby altitude", "km", 1e3, 100.0, 3000.0, 50.0),
)


@asks_home
def panel(scenario: Scenario, *, theme: Theme | None = None) -> HomewardPanel:
    """Return the panel on a scenario; ScenarioError where the scenario itself does not fly."""
    return HomewardPanel(scenario, theme)


class HomewardPanel(Panel):
    """Figures and pictures of the way home."""

    charts = (
        Chart(turning_frame.drawing, turning_frame.WIDTH),
        Chart(flight_path.drawing, flight_path.WIDTH),
    )

    def knobs(self, scenario: Scenario) -> Iterable[Knob]:
        """Return the knobs of the way home; a free return cannot be timed to a longitude."""
        burns = scenario.dates.transearth_time is not None
        known = [knob for knob in KNOBS if knob.read(scenario) is not None]
        return [*known, *rest(scenario), *(area(scenario) if burns else [])]

    def _changed(self, values: Values) -> Scenario:
        """Return the scenario with what was moved; an area that is switched off has no middle."""
        if values.get(LONGITUDE.key, 0.0) is None:
            values = {**values, **{x: self._home[x] for x in values if x in OF_THE_AREA}}
        return super()._changed(values)

    def told(self, plan: Plan, before: Plan) -> str:
        """Return the figures of the way home."""
        return notes.facts(tables.facts(plan), tables.facts(before))

    def found(self, plan: Plan, before: Plan) -> str:
        """Leave the findings to the panel of the whole mission."""
        return ""


@dataclass(frozen=True)
class DownrangeKnob(Knob):
    """How far the entry flies: what is usual where the file leaves it out."""

    def read(self, scenario: Scenario) -> float:
        """Return the range in the knob's unit."""
        return aimed_range(scenario) / self.size


DOWNRANGE = DownrangeKnob(
    "recovery.downrange", "interface to splash", "km", 1e3, 1400.0, 4000.0, 50.0
)
OF_THE_AREA = (LATITUDE.key, DOWNRANGE.key)


def area(scenario: Scenario) -> list[Knob]:
    """Return the knobs of where to come down; where the file has no area, the longitude alone."""
    return [LONGITUDE] if scenario.recovery is None else [LATITUDE, LONGITUDE, DOWNRANGE]


def rest(scenario: Scenario) -> list[Knob]:
    """Return the knob of the last coast before the return burn, if the file states one."""
    coasts = []
    for index, event in enumerate(scenario.events):
        if event.do == "burn" and event.leg == "trans-Earth injection":
            break
        if event.do == "coast" and event.duration is not None:
            coasts.append(index)
    for index in coasts[-1:]:
        knob = Knob(f"events.{index}.duration", "rest before the return", "h", HOUR, 0.5, 72.0, 0.5)
        now = knob.read(scenario)
        if now is None:
            continue
        with suppress(ScenarioError):  # events that follow from the profile cannot be changed
            scenario.change(knob.changes(now, scenario))
            return [knob]
    return []
