"""What a unit more does to each margin and limit: the mission flown on both sides of the plan.

Every figure is a difference of flights, none a formula. Two steps are flown, one twice the other,
up and down; the figure is the slope over the smaller, and what the two slopes differ by, or what
solvers leave if that is more, is its `spread`. A slope less than twice its spread is not told.
Climbs are steered as those of the plan: as the pitchover is the best one, that costs nothing to
first order. Further steps tell how near a jump is (`jumps`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from mplan.checks.limits import Left
from mplan.flight import walk
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.unflyable import Unflyable
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.plan import Plan
from mplan.scenario import Scenario, ScenarioError
from mplan.studies import executors
from mplan.studies.executors import often
from mplan.studies.sensitivities import effects, jumps, rooms, variations
from mplan.studies.sensitivities.effects import DOWN, Effect
from mplan.studies.sensitivities.jumps import FlownStep, Jump
from mplan.studies.sensitivities.variations import Variation
from mplan.vehicle.stack import on_pad

# m/s that a margin is off by from flight to flight, as measured with dry mass varied by 1 kg and
# by 10 kg: the end of the climb is found to so much, all else more closely.
NOISE = 2e-4

Margins = Mapping[str, float]


@dataclass(frozen=True)
class Sensitivity:
    """What one variation does: an effect by burn, and what a unit weighs at lift-off [kg].

    `method` says which differences were taken; "" where the changed mission could not be flown,
    and `trouble` says why. `rooms` are effects on what is left up to each limit, in its unit;
    `jumps` the nearest ones either way.
    """

    variation: Variation
    effects: Mapping[str, Effect]
    lift_off: float | None
    method: str
    trouble: str = ""
    rooms: Mapping[str, Effect] = field(default_factory=dict)
    jumps: tuple[Jump, ...] = ()


@dataclass(frozen=True)
class Sensitivities:
    """All of a plan: `margins` [m/s] by burn, which of them an engine `ends` on, the `tightest`.

    `limits` are what is left up to each, by name; those `in_brief` are what a brief tells. `asked`
    counts what was to be varied; fewer are `found` where it was stopped.
    """

    mission: str
    margins: Margins
    ends: tuple[str, ...]
    tightest: str  # "" where no burn was flown
    found: tuple[Sensitivity, ...]
    stopped: bool = False  # before all was flown
    limits: Mapping[str, Left] = field(default_factory=dict)
    in_brief: tuple[str, ...] = ()
    asked: int = 0


class Before(NamedTuple):
    """The figures of the plan itself: margins [m/s] by burn, and what is left up to each limit.

    `happenings` are how often which things happen in it, for what jumps.
    """

    margins: Margins
    rooms: Mapping[str, Left]
    happenings: Mapping[str, int]


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


def before(plan: Plan) -> Before:
    """Return the figures of a plan that its sensitivities are held against."""
    flight = plan.flight
    return Before(margins(flight), rooms.of(flight), jumps.happenings(flight))


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
    asked whether to leave the rest, as Ctrl-C does too once there is one.
    """
    known = [each for each in variations.of(plan.scenario) if plan.burns and kinds(each)]
    found: dict[int, Sensitivity] = {}
    often.begin()  # kept for the processes of this run, or of the next one
    try:
        for index, each in _flown(plan, known, workers, stopped):
            found[index] = each
            done(len(found), len(known))
            so_far(lambda: _told_of(plan, found, len(known)))
    except KeyboardInterrupt:  # what was flown is kept, and says that it is not all
        if not found:
            raise
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
        rooms.of(plan.flight),
        rooms.in_brief(plan.flight),
        known,
    )


def _flown(
    plan: Plan, known: list[Variation], workers: int | None, stopped: Callable[[], bool]
) -> Iterator[tuple[int, Sensitivity]]:
    """Yield each answer with its index."""
    start, was = reference(plan), before(plan)
    executor = executors.chosen(workers, len(known))
    yield from executor.answers(measure, ((start, was, each) for each in known), stopped)


@dataclass
class _Flights:
    """Flights of a variation by amount, as far as flown; the first reason why one was not."""

    start: Reference
    variation: Variation
    known: Margins
    flown: dict[float, Flight] = field(default_factory=dict)
    trouble: str = ""

    def fly(self, amount: float) -> Flight | None:
        """Fly one more; None where that cannot be, or other burns come of it."""
        try:
            found = self.start.fly(variations.varied(self.start.scenario, self.variation, amount))
        except Unflyable as problem:
            self.trouble = self.trouble or str(problem)
        except ScenarioError as problem:
            self.trouble = self.trouble or problem.problems[0].text
        else:
            if margins(found).keys() == self.known.keys():
                self.flown[amount] = found
                return found
            self.trouble = self.trouble or "the changed mission has other burns, or ends early"
        return None


def measure(start: Reference, was: Before, variation: Variation) -> Sensitivity:
    """Return what one variation does, `was` being the figures without it."""
    step, flights = variation.step, _Flights(start, variation, was.margins)
    for amount in (step, 2.0 * step, -step, -2.0 * step):
        flights.fly(amount)
    method = effects.method(flights.flown, step)
    if not method:
        return Sensitivity(variation, {}, None, "", flights.trouble)
    weighs = _weighs(start.scenario, variation, step if method != DOWN else -step)
    margin, room = _effects(was, flights.flown, step)
    near = tuple(_jumps(was, flights)) if variation.kind in jumps.KINDS else ()
    return Sensitivity(variation, margin, weighs, method, rooms=room, jumps=near)


def _effects(
    was: Before, flown: Mapping[float, Flight], step: float
) -> tuple[dict[str, Effect], dict[str, Effect]]:
    """Return the effects on margins, and on what is left up to limits that all flights have."""
    after = {amount: margins(flight) for amount, flight in flown.items()}
    left = {amount: rooms.of(flight) for amount, flight in flown.items()}

    def of_room(name: str, room: Left) -> Effect:
        found = {amount: each[name].left for amount, each in left.items()}
        return effects.effect(room.left, found, step, rooms.noise(room))

    return (
        {
            name: effects.effect(margin, {x: each[name] for x, each in after.items()}, step, NOISE)
            for name, margin in was.margins.items()
        },
        {
            name: of_room(name, room)
            for name, room in was.rooms.items()
            if all(name in each for each in left.values())
        },
    )


def _jumps(was: Before, flights: _Flights) -> Iterator[Jump]:
    """Yield the nearest jump on either side of the plan."""

    def step(amount: float, flight: Flight) -> FlownStep:
        return FlownStep(amount, margins(flight), jumps.happenings(flight))

    def fly(amount: float) -> FlownStep | None:
        flight = flights.fly(amount)
        return None if flight is None else step(amount, flight)

    there = [step(amount, flight) for amount, flight in flights.flown.items()]
    stands = FlownStep(0.0, was.margins, was.happenings)
    return jumps.nearest(flights.variation.step, [stands, *there], fly)


def _weighs(scenario: Scenario, variation: Variation, amount: float) -> float:
    """Return what a unit of it weighs at lift-off [kg]."""
    try:
        after = variations.varied(scenario, variation, amount)
    except ScenarioError:
        return 0.0
    return (lift_off(after) - lift_off(scenario)) / amount
