"""Which engine: each of a catalogue that fits an element's tanks, and the whole mission flown.

An engine fits if it burns what the tanks hold and, where the engine it replaces lifts off, states
its thrust at sea level. It is tried at the counts that give a like thrust: five of these or four of
those. Every flight stands for itself, its climb optimised, so that the numbers do not
depend on who works on what.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from mplan.flight.record import BurnRecord
from mplan.plan import Plan, fly
from mplan.scenario import Problem, Scenario, ScenarioError
from mplan.scenario.catalogue import Listed, folder, read
from mplan.scenario.wording import choices, hint, plain, shown
from mplan.studies import executors
from mplan.vehicle import swap
from mplan.vehicle.stack import on_pad


class Mount(NamedTuple):
    """Where engines can be swapped: an element, and its key for one kind of main engine."""

    element: str
    engine: str


@dataclass(frozen=True)
class Served:
    """A burn that the engine flies: the velocities [m/s] that its tanks give and have left.

    The margin is None where the stage burns out by plan.
    """

    burn: str
    available: float
    margin: float | None


@dataclass(frozen=True)
class Trade:
    """`count` of an engine at a mount, flown; masses in [kg], lengths in [m], times in [s].

    Changes are against the scenario; None where an engine does not state what they rest on.
    What is told of the flight is None or empty where there was none, and `outcome` says why.
    """

    mount: Mount
    name: str
    count: int
    planned: bool  # what the scenario has now
    closes: bool | None
    decisions_open: int  # 0 where the plan is not flown
    outcome: str
    late: str  # that it is delivered after the launch day, in words; else ""
    tightest: str  # the burn with the least margin of the mission
    tightest_margin: float | None
    served: tuple[Served, ...]
    above: Served | None  # of a stage that burns out by plan: what the one that does not has left
    lift_off: float | None  # thrust-to-weight of the stack on the pad
    dry_mass: float | None  # change of the element's
    height: float | None  # change of the stack's
    left_by_mixture: float | None  # in one tank when the other runs dry
    development_status: str | None
    nonrecurring_cost: float | None  # millions, whatever the count
    unit_cost: float | None  # millions each
    delivery_time: float | None

    @property
    def cost(self) -> float | None:
        """Nonrecurring cost and `count` units, in millions; None unless both are stated."""
        if self.nonrecurring_cost is None or self.unit_cost is None:
            return None
        return self.nonrecurring_cost + self.count * self.unit_cost

    @property
    def change(self) -> str:
        """The engines, as people say it: `3 x Dimity-11`."""
        return f"{self.count} x {self.name}"


class _Task(NamedTuple):
    """An engine to try; None for what is there."""

    mount: Mount
    listed: Listed | None
    number: int


def mounts(scenario: Scenario, element: str | None = None) -> list[Mount]:
    """Return where main engines are, from the pad up; raise `ScenarioError` if nowhere.

    With `element`, those of that one.
    """
    found = [
        Mount(name, key)
        for name in scenario.order
        for key, engine in scenario.elements[name].engines.items()
        if engine.purpose == "main"
    ]
    if element is None:
        return found
    there = [each for each in found if each.element == element]
    if not there:
        known = list(dict.fromkeys(each.element for each in found))
        said = f"accepted: {choices(known)}"
        if element not in scenario.elements:
            said = hint(element, known)
        text = f"found {shown(element)}, no element with a main engine; {said}"
        raise ScenarioError([Problem(str(scenario.source), "elements", text)])
    return there


def fly_trade(scenario: Scenario, mount: Mount, listed: Listed | None, count: int) -> Trade:
    """Fly the mission with `count` of a catalogue's engine; None is the one that is there."""
    try:
        after = scenario if listed is None else swap.swapped(scenario, *mount, listed, count)
    except ScenarioError as problem:
        return _trade(scenario, mount, listed, count, None, None, _why(problem))
    try:
        plan = fly(after)
    except ScenarioError as problem:
        return _trade(scenario, mount, listed, count, after, None, _why(problem))
    outcome = plan.verdict.removeprefix(f"{scenario.mission.name} ")
    return _trade(scenario, mount, listed, count, after, plan, outcome)


def _why(problem: ScenarioError) -> str:
    first = problem.problems[0]
    return f"not flown: {first.key}: {first.text}"


def _trade(
    before: Scenario,
    mount: Mount,
    listed: Listed | None,
    count: int,
    after: Scenario | None,
    plan: Plan | None,
    outcome: str,
) -> Trade:
    tight = plan.tightest if plan else None
    old = before.elements[mount.element].engines[mount.engine]
    new = old if listed is None else listed.engine
    return Trade(
        mount,
        listed.name if listed else old.label or plain(mount.engine),
        count,
        listed is None,
        plan.closes if plan else None,
        plan.decisions_open if plan else 0,
        outcome,
        _late(plan, mount) if plan else "",
        tight.name if tight else "",
        tight.margin if tight else None,
        tuple(_served(each) for each in plan.burns if _is_of(each, mount)) if plan else (),
        _above(plan, mount) if plan else None,
        plan.burns[0].thrust_to_weight if plan and plan.burns else None,
        0.0 if listed is None else swap.mass_change(old, new, count),
        on_pad(after).height - on_pad(before).height if after else None,
        _left_by_mixture(after, mount) if after else None,
        new.development_status,
        new.nonrecurring_cost,
        new.unit_cost,
        new.delivery_time,
    )


def _left_by_mixture(scenario: Scenario, mount: Mount) -> float:
    mounted = scenario.elements[mount.element].engines[mount.engine]
    return swap.left_by_mixture(scenario, mount.element, mounted)


def _late(plan: Plan, mount: Mount) -> str:
    found = (x.text for x in plan.findings if x.check == "delivery time" and x.subject == mount)
    return next(found, "")


def _above(plan: Plan, mount: Mount) -> Served | None:
    """Return the last burn of the engine that ends the climb, where this one burns out in it."""
    if not any(_is_of(each, mount) and each.burns_out for each in plan.burns):
        return None
    ends = next((each for each in plan.burns if not each.burns_out), None)
    last = [each for each in plan.burns if ends and _is_of(each, Mount(ends.element, ends.engine))]
    return _served(last[-1]) if last else None


def _is_of(burn: BurnRecord, mount: Mount) -> bool:
    return (burn.element, burn.engine) == mount


def _served(burn: BurnRecord) -> Served:
    return Served(burn.name, burn.available, None if burn.burns_out else burn.margin)


def scan_engines(
    scenario: Scenario,
    element: str | None = None,
    *,
    executor: executors.Executor | None = None,
    workers: int | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    stopped: Callable[[], bool] = lambda: False,
) -> list[Trade]:
    """Return what each engine that fits does to the mission, mount by mount from the pad up.

    What is there comes first, then the catalogue's in order of file and count. An `executor` flies
    them, or `workers` processes share the work (1: none but this one); after each flight `done` is
    told how many of how many are flown, and `stopped` is asked whether to leave the rest unflown.
    Raises `ScenarioError` for an element without a main engine and for a catalogue that cannot be
    read.
    """
    tasks = [task for mount in mounts(scenario, element) for task in _tasks(scenario, mount)]
    found: dict[int, Trade] = {}
    work = executor or executors.chosen(workers, len(tasks))
    executors.make_ready(work, len(tasks))
    for index, trade in work.answers(fly_trade, ((scenario, *task) for task in tasks), stopped):
        found[index] = trade
        done(len(found), len(tasks))
    return [found[index] for index in sorted(found)]


def _tasks(scenario: Scenario, mount: Mount) -> Iterator[_Task]:
    """Yield what is there, and what could be in its place."""
    old = scenario.elements[mount.element].engines[mount.engine]
    yield _Task(mount, None, old.count)
    for listed in read(folder(scenario, *mount)):
        if swap.fits(scenario, *mount, listed.engine):
            for count in swap.counts(old, listed.engine):
                if (listed.name, count) != (old.label, old.count):
                    yield _Task(mount, listed, count)
