"""What is to be least: mass at lift-off, cost of the engines, height on the pad."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from mplan.checks.limits import engines
from mplan.scenario import Problem, Scenario, ScenarioError
from mplan.scenario.wording import choices
from mplan.studies.sensitivities import differences
from mplan.vehicle.stack import on_pad

LIGHTER = 1e-3  # of two that cost or stand as much, the lighter: this share of its mass counts


class Measure(NamedTuple):
    """One thing that can be least: as it is asked for, its unit, how it is read off a scenario.

    `of` returns it in SI, costs in millions; `shown` in its unit.
    """

    name: str
    title: str
    unit: str
    digits: int
    per_unit: float
    of: Callable[[Scenario], float]

    def shown(self, value: float) -> str:
        """Return a value with its unit, as people read it."""
        return f"{value / self.per_unit:,.{self.digits}f} {self.unit}"


def _height(scenario: Scenario) -> float:
    """Return the greatest height [m] of the stacks that are launched."""
    return max(on_pad(each).height for each in (*scenario.views.values(), scenario))


def _cost(scenario: Scenario) -> float:
    """Return what the engines cost [millions]: units, and each type's development once."""
    return sum(row.used or 0.0 for row in engines.costs(scenario))


MEASURES = {
    each.name: each
    for each in (
        Measure("lift-off-mass", "mass at lift-off", "t", 2, 1e3, differences.lift_off),
        Measure("cost", "cost of the engines that state one", "millions", 1, 1.0, _cost),
        Measure("height", "height on the pad", "m", 2, 1.0, _height),
    )
}


def measure(name: str, scenario: Scenario) -> Measure:
    """Return the measure of a name; ScenarioError for one that there is not, or that says nothing.

    Costs say nothing where no engine states any.
    """
    if name not in MEASURES:
        _refuse(f"found {name}; accepted: {choices(MEASURES)}")
    if name == "cost" and all(row.used is None for row in engines.costs(scenario)):
        _refuse("found cost, and no engine of the scenario states unit_cost or nonrecurring_cost")
    return MEASURES[name]


def unpriced(scenario: Scenario) -> frozenset[str]:
    """Return the engines on the stacks that do not state what a unit of them costs."""
    return frozenset(
        f"{engine.label or key} of {name}"
        for name in scenario.order
        for key, engine in scenario.elements[name].engines.items()
        if engine.unit_cost is None
    )


def _refuse(text: str) -> None:
    raise ScenarioError([Problem("--least", "", text)])
