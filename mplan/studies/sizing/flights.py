"""Points of a search, flown: a scenario with its freed keys set, its plan, what it has left."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from mplan.plan import Plan, fly
from mplan.scenario import Scenario, ScenarioError
from mplan.studies.sizing import laying, measures, rooms
from mplan.studies.sizing.freed import Freed, Value
from mplan.studies.sizing.linear_steps import Enough
from mplan.studies.sizing.measures import LIGHTER, Measure
from mplan.studies.sizing.points import Answer, Vector
from mplan.studies.sizing.rooms import Room

Levels = tuple[Value, ...]  # one for each whole number and choice that is freed


@dataclass(frozen=True)
class Flown:
    """A plan that was flown for a search, with what it has left by name."""

    plan: Plan
    rooms: Mapping[str, Room]


@dataclass(frozen=True)
class Request:
    """What is asked: a scenario, what is freed of it, what is to be least, what counts.

    `gravest` is the rank of findings up to which one speaks against a plan: 1 counts decisions.
    """

    scenario: Scenario
    freed: tuple[Freed, ...]
    measure: Measure
    gravest: int

    @property
    def continuous(self) -> tuple[Freed, ...]:
        """The freed keys that take any value of their ranges."""
        return tuple(each for each in self.freed if each.continuous)

    @property
    def discrete(self) -> tuple[Freed, ...]:
        """The freed keys that are whole numbers or choices."""
        return tuple(each for each in self.freed if not each.continuous)

    def values(self, levels: Levels, x: Vector) -> dict[Freed, Value]:
        """Return every freed key with its value, `x` being shares of the ranges."""
        found: dict[Freed, Value] = dict(zip(self.discrete, levels, strict=True))
        for each, share in zip(self.continuous, x.tolist(), strict=True):
            found[each] = each.value(share)
        return found

    def laid(self, values: Mapping[Freed, Value]) -> Scenario:
        """Return the scenario with the freed keys so; ScenarioError where it would not do.

        An engine that states no cost is no cheap one: where cost is to be least, it is refused.
        """
        after = laying.laid(self.scenario, values)
        if self.measure.name == "cost":
            self._refuse_unpriced(after)
        return after

    def _refuse_unpriced(self, after: Scenario) -> None:
        new = measures.unpriced(after) - measures.unpriced(self.scenario)
        if new:
            raise after.refused(("elements",), f"{', '.join(sorted(new))} states no unit_cost")

    def value(self, scenario: Scenario) -> float:
        """Return what is to be least, as the search counts it: of equals the lighter is less."""
        first = self.measure.of(scenario) / self._whole
        if self.measure.name == "lift-off-mass":
            return first
        lift_off = measures.MEASURES["lift-off-mass"].of
        return first + LIGHTER * lift_off(scenario) / lift_off(self.scenario)

    @property
    def _whole(self) -> float:
        return self.measure.of(self.scenario) or 1.0

    def judged(self, plan: Plan) -> Flown:
        """Return a plan with what it has left."""
        return Flown(plan, rooms.of(plan, self.gravest))

    def accepted(self, plan: Plan) -> bool:
        """Tell whether a plan closes, and leaves no decision that counts."""
        return plan.closes and not any(x.rank <= self.gravest for x in plan.findings)


@dataclass
class Counter:
    """How many flights were made, of how many at most; tells about it and asks whether to stop."""

    most: int
    done: Callable[[int, int], None]
    stopped: Callable[[], bool]
    flights: int = 0
    ended: str = ""  # why no more are to be made

    def count(self) -> None:
        """Count a flight; raise Enough where no more are to be made."""
        if self.stopped():
            self.ended = "stopped"
        elif self.flights >= self.most:
            self.ended = f"the number of flights allowed, {self.most}, was reached"
        if self.ended:
            raise Enough
        self.flights += 1
        self.done(self.flights, self.most)


@dataclass
class Flights:
    """Points of one combination of levels: each is flown once, steered for itself or as another."""

    request: Request
    levels: Levels
    counter: Counter
    told: Callable[[Answer], None] = lambda answer: None
    why: str = ""  # the last point had no flight
    _flown: dict[tuple[float, ...], Answer | None] = field(default_factory=dict)

    def ask(self, x: Vector) -> Answer | None:
        """Return the answer at a point, its climb steered for the best; None without a flight."""
        key = tuple(self._rounded(x).tolist())
        if key not in self._flown:
            found = self._answer(x, None)
            self._flown[key] = found
            if found is not None:
                self.told(found)
        return self._flown[key]

    def near(self, x: Vector, beside: Answer) -> Answer | None:
        """Return the answer at a point with its climb steered as that of an answer beside it."""
        assert isinstance(beside.whole, Flown)
        return self._answer(x, beside.whole.plan)

    def _answer(self, x: Vector, like: Plan | None) -> Answer | None:
        self.counter.count()
        x = self._rounded(x)
        try:
            scenario = self.request.laid(self.request.values(self.levels, x))
            flown = self.request.judged(fly(scenario, like=like))
        except ScenarioError as problem:
            self.why = problem.problems[0].text
            return None
        left = {name: room.share for name, room in flown.rooms.items()}
        good = self.request.accepted(flown.plan) and min(left.values(), default=0.0) >= 0.0
        rough = frozenset(name for name, room in flown.rooms.items() if room.rough)
        return Answer(x, self.request.value(scenario), left, good, flown, rough)

    def _rounded(self, x: Vector) -> Vector:
        pairs = zip(self.request.continuous, x.tolist(), strict=True)
        return np.array([each.share(each.value(share)) for each, share in pairs])


def start(request: Request) -> Vector:
    """Return where the scenario itself stands, as shares of the ranges; the middle if nowhere."""
    return np.array(
        [0.5 if each.now is None else each.share(float(each.now)) for each in request.continuous]
    )


def low_corner(request: Request, levels: Levels) -> float | None:
    """Return a value that none of a combination is below, if each key acts by itself; no flight.

    Every key is put at the end of its range that makes less of it.
    """
    x = start(request)
    for index in range(len(x)):
        sides = []
        for share in (0.0, 1.0):
            x[index] = share
            found = _value(request, levels, x)
            if found is None:
                return None
            sides.append(found)
        x[index] = 0.0 if sides[0] <= sides[1] else 1.0
    return _value(request, levels, x)


def _value(request: Request, levels: Levels, x: Vector) -> float | None:
    try:
        return request.value(request.laid(request.values(levels, x)))
    except ScenarioError:
        return None


def now(request: Request) -> Levels:
    """Return the levels that the scenario itself has, else the nearest; the first of a choice."""
    return tuple(_present(each) for each in request.discrete)


def _present(each: Freed) -> Value:
    levels: Sequence[Value] = each.levels
    if each.options:
        same = [x.name for x in each.options if _is_now(each, x.listed is None, x.value)]
        return same[0] if same else levels[0]
    if each.now in levels:
        return int(each.now)
    return min(levels, key=lambda x: abs(float(x) - float(each.now or 0.0)))


def _is_now(each: Freed, unchanged: bool, value: object) -> bool:
    return unchanged if each.kind == "engine" else value == each.now
