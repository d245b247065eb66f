"""The least mass, cost or height that closes, over what the planner frees of a scenario.

Every combination of freed whole numbers and choices is searched by itself, unless even the end of
every range that makes least of it is no less than what was found. In each, what varies
continuously is brought to its least by linear steps (`linear_steps.py`) between flights of the
whole mission, each climb steered for the best; slopes are flown with the climb kept. What is told
was flown in full and closes. Where limits jump, no search can prove that there is no less: what is
found is the least found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import product
from math import prod

import numpy as np

from mplan.plan import Plan, fly
from mplan.scenario import Scenario, ScenarioError
from mplan.studies.executors import often
from mplan.studies.sizing import flights, freed, measures, ranges, reasons
from mplan.studies.sizing.flights import Counter, Flights, Flown, Levels, Request
from mplan.studies.sizing.linear_steps import Enough, LinearSteps
from mplan.studies.sizing.points import Answer, Local, Vector, better
from mplan.studies.sizing.records import Searched, Sized, Sizing

MOST_COMBINATIONS = 256
MOST_FLIGHTS = 1000
GAIN = 1e-5  # of what is least, that a step promises at least: 20 kg of 2,000 t
ROUNDS = 3  # in which a neighbour that turns out to be less is searched on from
NARROW = 0.05  # of the ranges, that such a round begins with
SPREAD = (0.75, 0.25)  # of every range: where searches start after that from the scenario itself


@dataclass
class Found:
    """The best so far: its combination, its answer, the slopes around it."""

    levels: Levels = ()
    answer: Answer | None = None
    local: Local | None = None

    def take(self, levels: Levels, answer: Answer | None, local: Local | None) -> None:
        """Keep an answer if it is better."""
        if answer is None or (self.answer is not None and not better(answer, self.answer)):
            return
        if local is not None and local.answer is not answer:
            local = None
        self.levels, self.answer, self.local = levels, answer, local

    @property
    def least(self) -> float | None:
        """The value of the best that closes."""
        return self.answer.value if self.answer and self.answer.good else None


def of(
    scenario: Scenario,
    free: Iterable[str],
    least: str = "lift-off-mass",
    *,
    accept_decisions: bool = False,
    starts: int = 2,
    most: int = MOST_FLIGHTS,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[str], None] = lambda text: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Sizing:
    """Return the least that closes over what is freed, like `elements.X.load=40 t..60 t`.

    `least` is lift-off-mass, cost or height. Unless `accept_decisions`, a plan that leaves a
    decision open does not count as closing. `starts` places are searched from. After each flight
    `done` is told how many of `most` at most were made, `so_far` the best in words, and `stopped`
    is asked whether to end; Ctrl-C ends it too, and the best so far is returned. ScenarioError
    for what cannot be freed.
    """
    keys = freed.read(scenario, free)
    measure = measures.measure(least, scenario)
    request = Request(scenario, keys, measure, gravest=0 if accept_decisions else 1)
    _refuse_many(request)
    search = _LeastSearch(request, Counter(most, done, stopped), so_far, starts)
    often.begin()
    try:
        search.run()
    except Enough:
        pass
    except KeyboardInterrupt:
        search.counter.ended = "stopped"
    return search.result()


def _refuse_many(request: Request) -> None:
    count = prod(len(each.levels) for each in request.discrete)
    if count > MOST_COMBINATIONS:
        said = f"{count} combinations of whole numbers and choices are freed"
        ranges.refuse("", f"{said}; accepted: {MOST_COMBINATIONS} at most")


@dataclass
class _LeastSearch:
    request: Request
    counter: Counter
    so_far: Callable[[str], None]
    starts: int
    best: Found = field(default_factory=Found)
    before: Plan | None = None
    searched: list[Searched] = field(default_factory=list)
    from_starts: list[float | None] = field(default_factory=list)
    flown: dict[Levels, Flights] = field(default_factory=dict)
    keys: tuple[Sized, ...] = ()
    top: Answer | None = None  # the best that was told

    def run(self) -> None:
        """Search every combination, then look at what holds the best."""
        self.before = self._as_it_stands()
        for levels, bound in self._combinations():
            if bound is not None and self.best.least is not None and bound >= self.best.least:
                self._note(levels, None, "not flown: it cannot be less", 0)
                continue
            self._combination(levels)
        self._hold()

    def _as_it_stands(self) -> Plan | None:
        try:
            return fly(self.request.scenario)
        except ScenarioError:
            return None

    def _combinations(self) -> list[tuple[Levels, float | None]]:
        """Return all combinations with their bounds: the scenario's own, then the least bound."""
        mine = flights.now(self.request)
        found = []
        for levels in product(*(each.levels for each in self.request.discrete)):
            bound = None if levels == mine else flights.low_corner(self.request, levels)
            found.append((levels, bound))
        return sorted(found, key=lambda x: (x[0] != mine, x[1] is None, x[1] or 0.0))

    def _combination(self, levels: Levels) -> None:
        """Search one combination from its starts."""
        first, here = not self.searched, Found()
        before, point = self.counter.flights, self._point(levels)
        try:
            for start in self._starts(first):
                steps = LinearSteps(point.ask, point.near, GAIN)
                try:
                    steps.least(start)
                finally:
                    here.take(levels, steps.best, steps.local)
                    self.best.take(levels, steps.best, steps.local)
                closes = steps.best is not None and steps.best.good
                value = self._measured(steps.best) if steps.best and closes else None
                if first:
                    self.from_starts.append(value)
                if not first and value is not None:
                    break
        finally:
            said = _outcome(here.answer, point)
            self._note(levels, here.answer, said, self.counter.flights - before)

    def _starts(self, first: bool) -> list[Vector]:
        """Return where a combination is searched from: of later ones, where the best is first."""
        stands = flights.start(self.request)
        if not first and self.best.answer is not None:
            stands = self.best.answer.x
        spread = [np.full(len(stands), share) for share in SPREAD]
        generator = np.random.default_rng(1)
        more = [generator.random(len(stands)) for _ in range(max(0, self.starts - 3))]
        return [stands, *spread, *more][: self.starts if len(stands) else 1]

    def _point(self, levels: Levels) -> Flights:
        if levels not in self.flown:
            self.flown[levels] = Flights(self.request, levels, self.counter, self._tell)
        return self.flown[levels]

    def _tell(self, answer: Answer) -> None:
        if self.top is None or better(answer, self.top):
            self.top = answer
            self.so_far(self._said(answer))

    def _said(self, answer: Answer) -> str:
        if not answer.good:
            return "nothing closes yet"
        return f"best so far {self.request.measure.shown(self._measured(answer))}"

    def _measured(self, answer: Answer) -> float:
        assert isinstance(answer.whole, Flown)
        return self.request.measure.of(answer.whole.plan.scenario)

    def _note(self, levels: Levels, answer: Answer | None, said: str, count: int) -> None:
        named = {x.key: v for x, v in zip(self.request.discrete, levels, strict=True)}
        value = self._measured(answer) if answer and answer.good else None
        self.searched.append(Searched(named, value, said, count))

    def _hold(self) -> None:
        """Fly what is beside the best; where that closes and is less, search on from there."""
        for _ in range(ROUNDS):
            if self.best.answer is None:
                return
            point = self._point(self.best.levels)
            self.keys, less = reasons.of(self.request, self.best, self.searched, point)
            if less is None:
                return
            steps = LinearSteps(point.ask, point.near, GAIN)
            try:
                steps.least(less.x, NARROW)
            finally:
                self.best.take(self.best.levels, steps.best, steps.local)

    def result(self) -> Sizing:
        """Return what was found."""
        best, keys = self.best, self.keys
        whole = best.answer.whole if best.answer else None
        after = whole.plan if isinstance(whole, Flown) else None
        if best.answer is not None and not keys:
            keys = reasons.unsaid(self.request, best)
        active, conflict, unmoved = reasons.limits(self.request, best, keys)
        return Sizing(
            self.request.measure,
            self.request.scenario,
            self.before,
            after,
            best.least is not None,
            keys,
            active,
            conflict,
            unmoved,
            tuple(self.searched),
            self.counter.flights,
            self.counter.ended,
            tuple(self.from_starts),
            self.request.freed,
        )


def _outcome(answer: Answer | None, point: Flights) -> str:
    """Return what came of a combination, in words."""
    if answer is None:
        return f"not flown: {point.why}" if point.why else "not flown"
    if answer.good:
        return "closes"
    assert isinstance(answer.whole, Flown)
    return reasons.passed(answer.whole)
