"""The sliders of lesson 3, on the free keys: the whole mission is flown again at every move."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from typing import Any

from mplan.lessons.closing.hints import stopping
from mplan.lessons.closing.task import freed_of
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.changes import dotted
from mplan.scenario.wording import plain
from mplan.show import notes
from mplan.show.drawn.figure import Chart
from mplan.show.mission import burn_bars
from mplan.show.panels.knobs import Knob
from mplan.show.panels.panel import Panel
from mplan.show.told import told
from mplan.studies.sizing.freed import Freed
from mplan.studies.sizing.laying import laid
from mplan.vehicle.pad import limits

STEPS = 100.0  # of a slider
NEAR = 0.98  # of a limit of the pad, from which on it is told


@dataclass(frozen=True)
class FreeKnob(Knob):
    """A free key, in the unit of its range; of a load its tanks, and what they weigh, follow."""

    freed: Freed

    def read(self, scenario: Scenario) -> float:
        """Return what the file has."""
        return round(float(self.freed.now), 9)

    def changes(self, number: float, scenario: Scenario) -> dict[str, Any]:
        """Return what a move to `number` changes, by key."""
        return {dotted(x.path): x.after for x in laid(scenario, {self.freed: number}).changes}


def panel(scenario: Scenario, free: Iterable[str]) -> ClosingPanel:
    """Return the panel on the free keys of a scenario."""
    return ClosingPanel(scenario, freed_of(scenario, free))


class ClosingPanel(Panel):
    """The budget as bars, what stops the mission, and what the pad allows."""

    charts = (Chart(burn_bars.drawing, 780),)

    def __init__(self, scenario: Scenario, freed: tuple[Freed, ...]) -> None:
        """Fly the scenario as it is."""
        self._freed = freed
        super().__init__(scenario)

    def knobs(self, scenario: Scenario) -> Iterable[Knob]:
        """Return a knob for each free key."""
        return map(_knob, self._freed)

    def told(self, plan: Plan, before: Plan) -> str:
        """Return what stands on the pad beside what it allows, where that is near."""
        return notes.facts(_near_limits(plan), _near_limits(before))

    def found(self, plan: Plan, before: Plan) -> str:
        """Return what stops the mission."""
        stops = "".join(f"<li>{escape(each.text)}</li>" for each in stopping(plan))
        return f'<ul style="line-height:1.4">{stops}</ul>' if stops else ""


def _near_limits(plan: Plan) -> dict[str, str]:
    return {
        x.name: told(f"{{:.1({x.unit})}} of {{:.1 {x.unit}}}", x.found * x.scale, x.limit * x.scale)
        for x in limits(plan.scenario)
        if x.found and x.limit and x.found > NEAR * x.limit
    }


def _knob(freed: Freed) -> FreeKnob:
    """Return a slider over the range of a key."""
    label = plain(freed.element) if freed.element else plain(freed.key.split(".")[-1])
    what = f"{label} load" if freed.kind == "load" else label
    step = float(f"{(freed.high - freed.low) / STEPS:.1g}")
    return FreeKnob(freed.key, what, freed.unit, 1.0, freed.low, freed.high, step, freed)
