"""What a unit more does to each margin: the mission flown again on both sides of the plan.

Every figure is a difference of flights, none a formula. Two steps are flown, one twice the other,
up and down; the figure is the slope over the smaller, and what the two slopes differ by, or what
solvers leave if that is more, is its `spread`. A slope less than twice its spread is not told.
Climbs are steered as those of the plan: as the pitchover is the best one, that costs nothing to
first order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from mplan.flight import walk
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.unflyable import Unflyable
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.plan import Plan
from mplan.scenario import Scenario, ScenarioError
from mplan.studies import executors
from mplan.studies.sensitivities import variations
from mplan.studies.sensitivities.variations import Variation
from mplan.vehicle.stack import on_pad

# m/s that a margin is off by from flight to flight, as measured with dry mass varied by 1 kg and
# by 10 kg: the end of the climb is found to so much, all else more closely.
NOISE = 2e-4
TOLD = 2.0  # times its spread, that a slope is at least
EXACT = 1e-9  # m/s: rounding of the same numbers
UP, DOWN, BOTH = "one-sided, more", "one-sided, less", "central"

Margins = Mapping[str, float]


@dataclass(frozen=True)
class Effect:
    """What one unit more does to a margin: `slope`, and by what it may be off [m/s a unit].

    `more` and `less` [m/s] are what one unit either way does, each by its own side; None where
    that side is not flown.
    """

    slope: float
    spread: float
    more: float | None
    less: float | None

    @property
    def lost(self) -> bool:
        """Whether nothing can be said: the spread is more than half of the slope."""
        return self.spread > 0.0 and TOLD * self.spread > abs(self.slope)

    @property
    def value(self) -> float | None:
        """The slope, where it can be told."""
        return None if self.lost else self.slope


@dataclass(frozen=True)
class Sensitivity:
    """What one variation does: an effect by burn, and what a unit weighs at lift-off [kg].

    `method` says which differences were taken; "" where the changed mission could not be flown,
    and `trouble` says why.
    """

    variation: Variation
    effects: Mapping[str, Effect]
    lift_off: float | None
    method: str
    trouble: str = ""


@dataclass(frozen=True)
class Sensitivities:
    """All of a plan: `margins` [m/s] by burn, which of them an engine `ends` on, the `tightest`."""

    mission: str
    margins: Margins
    ends: tuple[str, ...]
    tightest: str  # "" where no burn was flown
    found: tuple[Sensitivity, ...]
    stopped: bool = False  # before all was flown


class Reference(NamedTuple):
    """What every flight starts from: the scenario, and how the climbs of its ships are steered."""

    scenario: Scenario
    climb: LaunchClimb | None
    others: dict[str, LaunchClimb]
    left: Mapping[str, Flight]  # earlier missions, which stay as they were flown

    def fly(self, scenario: Scenario) -> Flight:
        """Fly a scenario so. Raises Unflyable and ScenarioError."""
        return walk.fly(scenario, self.climb, self.others, self.left)


def reference(plan: Plan) -> Reference:
    """Return what the flights of a plan's sensitivities start from."""
    flight = plan.flight
    return Reference(plan.scenario, flight.climb, dict(flight.climbs_of_others), flight.left)


def margins(flight: Flight) -> dict[str, float]:
    """Return the margins [m/s] of all ships' burns but those that burn out, each by its own name.

    A second burn of a name is told as `name (2)`.
    """
    return {name: x.margin for name, x in named(flight).items() if not x.burns_out}


def named(flight: Flight) -> dict[str, BurnRecord]:
    """Return all ships' burns, each by a name of its own."""
    found: dict[str, BurnRecord] = {}
    for burn in flight.every_burn:
        name, n = burn.name, 1
        while name in found:
            n += 1
            name = f"{burn.name} ({n})"
        found[name] = burn
    return found


def ends(flight: Flight) -> dict[str, BurnRecord]:
    """Return the burns on which an engine ends, by name: the last of each, but what burns out."""
    last = {(x.element, x.engine): name for name, x in named(flight).items() if not x.burns_out}
    return {name: named(flight)[name] for name in last.values()}


def lift_off(scenario: Scenario) -> float:
    """Return the mass at lift-off [kg], of several launches together."""
    return sum(on_pad(each).mass for each in (*scenario.views.values(), scenario))


def of(
    plan: Plan,
    kinds: Callable[[Variation], bool] = lambda each: True,
    *,
    workers: int | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[Callable[[], Sensitivities]], None] = lambda found: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Sensitivities:
    """Return the sensitivities of a plan to all that it has, or to those of some `kinds`.

    `workers` processes share the work (1: none but this one); after each variation `done` is told
    how many of how many are flown, `so_far` given what returns those found by then, and `stopped`
    asked whether to leave the rest.
    """
    known = [each for each in variations.of(plan.scenario) if kinds(each)]
    found: dict[int, Sensitivity] = {}
    if plan.burns:
        for index, each in _flown(plan, known, workers):
            found[index] = each
            done(len(found), len(known))
            so_far(lambda: _told_of(plan, found, len(known)))
            if stopped():
                break
    return _told_of(plan, found, len(known))


def _told_of(plan: Plan, found: Mapping[int, Sensitivity], known: int) -> Sensitivities:
    """Return what is found of a plan, in the order in which it was asked."""
    tightest = next((name for name, x in named(plan.flight).items() if x == plan.tightest), "")
    return Sensitivities(
        plan.scenario.mission.name,
        margins(plan.flight),
        tuple(ends(plan.flight)),
        tightest,
        tuple(found[index] for index in sorted(found)),
        len(found) < known,
    )


def _flown(
    plan: Plan, known: list[Variation], workers: int | None
) -> Iterator[tuple[int, Sensitivity]]:
    """Yield each answer with its index. Flights of earlier missions do not go to processes."""
    start, before = reference(plan), margins(plan.flight)
    executor = executors.chosen(1 if plan.scenario.left else workers, len(known))
    if not isinstance(executor, executors.InProcess):
        start = start._replace(left={})
    yield from executor.answers(measure, ((start, before, each) for each in known))


@dataclass
class _Sides:
    """Margins by amount, as far as flown; the first reason why one was not."""

    flown: dict[float, dict[str, float]] = field(default_factory=dict)
    trouble: str = ""


def measure(start: Reference, before: Margins, variation: Variation) -> Sensitivity:
    """Return what one variation does, `before` being the margins without it."""
    step, sides = variation.step, _Sides()
    for amount in (step, 2.0 * step, -step, -2.0 * step):
        _fly(start, before, variation, amount, sides)
    method = _method(sides, step)
    effects = {name: _effect(name, before, sides, step, method) for name in before if method}
    weighs = _weighs(start.scenario, variation, step if method != DOWN else -step)
    return Sensitivity(
        variation, effects, weighs if method else None, method, "" if method else sides.trouble
    )


def _fly(
    start: Reference, before: Margins, variation: Variation, amount: float, sides: _Sides
) -> None:
    try:
        found = margins(start.fly(variations.varied(start.scenario, variation, amount)))
    except Unflyable as problem:
        sides.trouble = sides.trouble or str(problem)
    except ScenarioError as problem:
        sides.trouble = sides.trouble or problem.problems[0].text
    else:
        if found.keys() == before.keys():
            sides.flown[amount] = found
        else:
            sides.trouble = sides.trouble or "the changed mission has other burns, or ends early"


def _method(sides: _Sides, step: float) -> str:
    up, down = (all(x in sides.flown for x in (s, 2.0 * s)) for s in (step, -step))
    return BOTH if up and down else UP if up else DOWN if down else ""


def _effect(name: str, before: Margins, sides: _Sides, step: float, method: str) -> Effect:
    def side(amount: float) -> float | None:
        after = sides.flown.get(amount)
        return None if after is None else (after[name] - before[name]) / amount

    used = {BOTH: (1.0, -1.0), UP: (1.0,), DOWN: (-1.0,)}[method]
    near, far = (
        sum(side(s * times * step) or 0.0 for s in used) / len(used) for times in (1.0, 2.0)
    )
    felt = max(abs(x[name] - before[name]) for x in sides.flown.values()) > EXACT
    spread = max(abs(far - near), NOISE / step) if felt else 0.0
    more, less = side(step), side(-step)
    return Effect(near if felt else 0.0, spread, more, None if less is None else -less)


def _weighs(scenario: Scenario, variation: Variation, amount: float) -> float:
    """Return what a unit of it weighs at lift-off [kg]."""
    try:
        after = variations.varied(scenario, variation, amount)
    except ScenarioError:
        return 0.0
    return (lift_off(after) - lift_off(scenario)) / amount
