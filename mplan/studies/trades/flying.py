"""One case of a study: its mission flown and judged, or why it cannot be."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from mplan import checks
from mplan.comparing.figures import Figure
from mplan.flight import walk
from mplan.flight.record import Flight
from mplan.flight.unflyable import Unflyable
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.plan import Plan
from mplan.scenario import Problem, Scenario, ScenarioError
from mplan.studies.trades import figures
from mplan.studies.trades.study import Swap
from mplan.vehicle import swap


class CaseStart(NamedTuple):
    """What the cases of a study start from: the mission, and climbs that are kept, if they are."""

    scenario: Scenario
    climb: LaunchClimb | None = None
    others: Mapping[str, LaunchClimb] | None = None


class CaseOutcome(NamedTuple):
    """What became of a case; `closes` is None, and figures are none, where it cannot be flown."""

    closes: bool | None
    decisions_open: int
    words: str
    figures: Mapping[str, Figure]

    def text(self) -> str:
        """Return it as JSON; numbers come back as they were."""
        told = {name: [x.unit, x.digits, float(x.value)] for name, x in self.figures.items()}
        return json.dumps([self.closes, self.decisions_open, self.words, told])

    @classmethod
    def read(cls, text: str) -> CaseOutcome:
        """Return what `text` wrote."""
        closes, decisions_open, words, told = json.loads(text)
        return cls(closes, decisions_open, words, _Figures(told))


class _Figures(Mapping[str, Figure]):
    """Figures as they were written, made when they are asked for: tables tell a few of many."""

    def __init__(self, told: Mapping[str, list[Any]]) -> None:
        self._told = told

    def __getitem__(self, name: str) -> Figure:
        return Figure(name, *self._told[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._told)

    def __len__(self) -> int:
        return len(self._told)

    def __contains__(self, name: object) -> bool:
        return name in self._told


def start_from(plan: Plan, *, kept: bool) -> CaseStart:
    """Return what cases start from: the mission of a plan, its climbs `kept` or steered anew."""
    if not kept:
        return CaseStart(plan.scenario)
    return CaseStart(plan.scenario, plan.flight.climb, dict(plan.flight.climbs_of_others))


def fly_case(start: CaseStart, changes: dict[str, Any], swaps: tuple[Swap, ...]) -> str:
    """Return the outcome of a case as JSON, the same whoever flies it and in whatever order."""
    try:
        scenario = _changed(start.scenario, changes, swaps)
        flight = _flown(scenario, start)
    except ScenarioError as problem:
        return CaseOutcome(None, 0, _reason(problem), {}).text()
    plan = Plan(flight, checks.of(flight))
    words = plan.verdict.removeprefix(f"{scenario.mission.name} ")
    return CaseOutcome(plan.closes, plan.decisions_open, words, figures.of(plan)).text()


def _changed(scenario: Scenario, changes: dict[str, Any], swaps: tuple[Swap, ...]) -> Scenario:
    """Return the mission of a case: its values laid in, then its engines, each on what is there."""
    after = scenario.change(changes) if changes else scenario
    for (element, engine), listed, count in swaps:
        if engine not in after.elements[element].engines:
            key = f"elements.{element}.engines.{engine}"
            raise ScenarioError([Problem("", key, "the element has no such engine in this case")])
        after = swap.swapped(after, element, engine, listed, count)
    return after


def _flown(scenario: Scenario, start: CaseStart) -> Flight:
    try:
        return walk.fly(scenario, start.climb, start.others)
    except Unflyable as problem:
        raise scenario.refused(problem.path, str(problem)) from problem


def _reason(problem: ScenarioError) -> str:
    first = problem.problems[0]
    return f"not flown: {first.key}: {first.text}"
