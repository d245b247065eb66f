"""The panel of the entry: how steep, how much lift and drag, how many parachutes open."""

from __future__ import annotations

from collections.abc import Iterable

from mplan.physics.constants import DEG
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.changes import Change
from mplan.show import notebook, notes
from mplan.show.air import (
    bank_curve,
    corridor_edges,
    heating_curve,
    load_curve,
    parachute_path,
    tables,
)
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words
from mplan.show.panels.knobs import Count, Knob
from mplan.show.panels.panel import Panel
from mplan.show.reached import asks_home
from mplan.studies.entries import again
from mplan.vehicle.stack import crew_module


class NumberKnob(Knob):
    """A key with a bare number behind it."""

    def write(self, number: float, scenario: Scenario) -> float:
        """Return the number itself."""
        return float(number)


@asks_home
def panel(scenario: Scenario, *, theme: Theme | None = None) -> EntryPanel | Words:
    """Return the panel on a scenario, or a sentence where there is no entry to fly.

    ScenarioError where the scenario itself does not fly.
    """
    element = scenario.elements[crew_module(scenario)]
    if element.aeroshell is None or element.parachutes is None:
        return notebook.sentence(tables.NOT_FLOWN)
    return EntryPanel(scenario, theme)


class EntryPanel(Panel):
    """Figures and pictures of the way through the air."""

    charts = (
        Chart(corridor_edges.drawing, corridor_edges.WIDTH),
        Chart(load_curve.drawing, load_curve.WIDTH),
        Chart(heating_curve.drawing, heating_curve.WIDTH),
        Chart(bank_curve.drawing, bank_curve.WIDTH),
        Chart(parachute_path.drawing, parachute_path.WIDTH),
    )

    def knobs(self, scenario: Scenario) -> Iterable[Knob]:
        """Return the entry angle, and the knobs of the crew module's aeroshell and parachutes."""
        home = f"elements.{crew_module(scenario)}"
        shell, chutes = f"{home}.aeroshell", f"{home}.parachutes"
        return (
            Knob("orbits.entry_angle", "entry angle", "deg", DEG, -8.0, -4.8, 0.05),
            NumberKnob(f"{shell}.lift_to_drag", "lift over drag", "", 1.0, 0.0, 0.5, 0.01),
            NumberKnob(f"{shell}.drag_coefficient", "drag coefficient", "", 1.0, 0.8, 1.8, 0.05),
            Knob(f"{shell}.nose_radius", "nose radius", "m", 1.0, 0.5, 8.0, 0.1),
            Knob(f"{home}.dry_mass", "crew module, dry", "t", 1e3, 3.0, 9.0, 0.1),
            Count(f"{chutes}.drogues.count", "drogues that open", "", 1.0, 1.0, 4.0, 1.0),
            Count(f"{chutes}.mains.count", "mains that open", "", 1.0, 1.0, 4.0, 1.0),
        )

    def _fly(self, scenario: Scenario) -> Plan:
        """Return the plan of a scenario; what only the air feels is flown from the interface on."""
        if _before_the_air(scenario) != _before_the_air(self.plan.scenario):
            return super()._fly(scenario)
        return again(self.plan, scenario)

    def told(self, plan: Plan, before: Plan) -> str:
        """Return the figures of the entry."""
        return notes.facts(tables.facts(plan), tables.facts(before))


def _before_the_air(scenario: Scenario) -> list[Change]:
    """Return the changes of a scenario that are felt before the entry interface."""
    return [x for x in scenario.changes if not {"aeroshell", "parachutes"} & set(x.path)]
