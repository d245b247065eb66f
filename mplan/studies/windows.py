"""When to go: the launch windows of a span of days, each chance flown as a whole mission.

A day has chances on each side of the parking orbit (with the Moon met on its ascending or its
descending leg), open while the azimuth lies within the range's limits: one, or two where the Moon
stands further from the equator than the launch site does and orbits that run too nearly due east
miss it. Each is flown along the planned azimuth or, where that misses the Moon, along the nearest
that does not. Days are worked out each on its own, so that the numbers do not depend on who works
on what.

The ships of a mission are moved together, as many days apart as in the file. A ship that is to meet
another one in Earth orbit goes when the pad passes through its plane, which is a moment; sides and
windows are then those of the ship that waits, which the Moon dates.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from math import inf
from typing import Any

from mplan.flight import launch, translunar
from mplan.flight.ships.second_launch import MEETING
from mplan.physics import constants as c
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.launching.interval import Interval
from mplan.plan import Plan, fly
from mplan.scenario import Problem, Scenario, ScenarioError
from mplan.scenario.events import has_burn
from mplan.scenario.profiles import FREE_RETURN
from mplan.scenario.wording import plain
from mplan.studies import executors
from mplan.studies.launches import launch_days
from mplan.studies.launches.chance import Chance, chance_of

SIDES = ("ascending", "descending")
LEFT = "the orbit of a ship that an earlier mission left decides, and that mission stays as flown"
SHARP = 1.0  # s, to which the ends of a window are found


@dataclass(frozen=True)
class NoChance:
    """A day and side without a launch, and why."""

    day: date
    side: str
    why: str


Answer = Chance | NoChance


def chances(answers: Iterable[Answer]) -> list[Chance]:
    """Return the answers that are launches."""
    return [x for x in answers if isinstance(x, Chance)]


ORDERS: dict[str, Callable[[Chance], Any]] = {  # best first
    "opens": lambda x: x.opens,
    "duration": lambda x: -x.duration,
    "injection": lambda x: x.injection_delta_v,
    "margin": lambda x: -x.tightest_margin,
    "decisions": lambda x: x.decisions_open,
    "sun": lambda x: inf if x.sun_at_landing is None else x.sun_at_landing,
    "splash": lambda x: x.splash or x.perilune,
}


def good(answers: Iterable[Answer]) -> list[Answer]:
    """Return the launches whose plans close."""
    return [x for x in chances(answers) if x.plan_closes]


def ordered(answers: Iterable[Answer], by: str) -> list[Answer]:
    """Return the launches in one of the `ORDERS`, and after them the days and sides without."""
    answers = list(answers)
    without = [x for x in answers if isinstance(x, NoChance)]
    return [*sorted(chances(answers), key=ORDERS[by]), *without]


def of_day(scenario: Scenario, day: date) -> list[Answer]:
    """Return the chances of one day by side and opening, or why a side has none."""
    try:
        base = launch_days.placed(launch_days.moved(scenario, day))
    except ScenarioError as problems:
        return [NoChance(day, side, _text(problems)) for side in SIDES]
    ship = launch_days.leader(base)
    if has_burn(launch_days.of_ship(base, ship).events, MEETING):
        return [NoChance(day, side, LEFT) for side in SIDES]
    key = launch_days.key(ship, "dates.side")
    flown = {side: _flown(partial(base.change, key, side)) for side in SIDES}
    plans = [x for x in flown.values() if isinstance(x, Plan)]
    ended = next((x.flight.ended for x in plans if x.flight.ended), None)
    if ended is not None:
        return [NoChance(day, side, ended.text) for side in SIDES]
    intervals = _intervals(base, ship, plans)
    found: list[Answer] = []
    for side, plan in flown.items():
        there = (_in_interval(base, ship, plan, each) for each in intervals if each.side == side)
        of_side = [x for x in there if x is not None]
        if not of_side:
            found.append(NoChance(day, side, _why(plan, launch_days.of_ship(base, ship))))
        for number, (it, each) in enumerate(of_side, start=1):
            if isinstance(it, str):
                found.append(NoChance(day, side, it))
            elif it.flight.ended:
                found.append(NoChance(day, side, it.flight.ended.text))
            else:
                found.append(chance_of(it, day, number, each, planned=it is plan))
    return found


def as_flown(scenario: Scenario, chance: Chance) -> Scenario:
    """Return the mission as a chance of it was flown."""
    base = launch_days.placed(launch_days.moved(scenario, chance.day))
    ship = launch_days.leader(base)
    if chance.planned:
        return base.change(launch_days.key(ship, "dates.side"), chance.side)
    lift_off = next((x.lift_off for x in chance.others if x.name == ship), chance.lift_off)
    return launch_days.at_clock(base, lift_off, chance.side)


def _flown(changed: Callable[[], Scenario]) -> Plan | str:
    """Return the plan of a scenario, or why it cannot be flown."""
    try:
        return fly(changed())
    except ScenarioError as problems:
        return _text(problems)


def _text(problems: ScenarioError) -> str:
    """Return what is wrong, with the name of the ship it is wrong with, if not the main one."""
    return "; ".join(f"{_ship(x)}{x.text}" for x in problems.problems)


def _ship(problem: Problem) -> str:
    first, name, *_ = (*problem.key.split("."), "", "")
    return f"ship {plain(name)}: " if first == "ships" and name else ""


def _why(plan: Plan | str, base: Scenario) -> str:
    """Return why a side of a day has no chance."""
    if isinstance(plan, str):
        return plan
    low, high = base.launch_site.azimuth_min / c.DEG, base.launch_site.azimuth_max / c.DEG
    return f"no azimuth from {low:g} deg to {high:g} deg leads to the Moon on this side"


def _intervals(base: Scenario, ship: str, plans: list[Plan]) -> tuple[Interval, ...]:
    """Return the intervals in which the day of a ship is open; () where no passage is known."""
    view = launch_days.of_ship(base, ship)
    if plans:
        flown = [launch_days.flight_of(x, ship) for x in plans]
        met = translunar.met_there(flown[0].start, view.events)
        there = translunar.passage_of(flown[0].end, met)
        ways = [x.end.outbound for x in flown]
        return launch.open_intervals(view, ways[0].parking, there, ways)
    if view.orbits.flyby_altitude is not None or view.orbits.translunar_arc == FREE_RETURN:
        return ()  # its time of flight follows from an arc, and there is none
    return launch_days.intervals(view)


def _in_interval(
    base: Scenario, ship: str, planned: Plan | str, interval: Interval
) -> tuple[Plan | str, Interval] | None:
    """Return the plan in which a ship lifts off in an interval; None where that is another day.

    Along the planned azimuth where that lies in the interval, else as near to it as one comes.
    """
    view = launch_days.of_ship(base, ship)
    near, within = interval.nearest(launch.planned_plane(view))
    if within:
        if isinstance(planned, str):
            off_day = utc_from_tdb(near.lift_off).date() != view.dates.launch_day
            return None if off_day else (planned, interval)
        there = launch_days.flight_of(planned, ship).end.lift_off
        early, late = interval.opens.lift_off - there, there - interval.closes.lift_off
        return None if max(early, late) > SHARP else (planned, interval)
    moment = launch_days.nearest_moment(view, interval)
    if moment is None:
        return None
    return _flown(lambda: launch_days.at_clock(base, moment, interval.side)), interval


def scan_windows(
    scenario: Scenario,
    first: date,
    days: int,
    *,
    executor: executors.Executor | None = None,
    workers: int | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[Callable[[], list[Answer]]], None] = lambda found: None,
    stopped: Callable[[], bool] = lambda: False,
) -> list[Answer]:
    """Return the chances of `days` from `first`, in order of day and side.

    An `executor` flies them, or `workers` processes share the work (1: none but this one). After
    each day, `done` is told how many of how many are flown, `so_far` is given a function that
    returns what has been found, and `stopped` is asked whether to leave the rest unflown.
    """
    tasks = [first + timedelta(days=i) for i in range(days)]
    found: dict[date, list[Answer]] = {}

    def in_order() -> list[Answer]:
        return [answer for task in tasks if task in found for answer in found[task]]

    work = executor or executors.chosen(workers, len(tasks))
    executors.make_ready(work, len(tasks))
    for i, answers in work.answers(of_day, ((scenario, task) for task in tasks), stopped):
        found[tasks[i]] = answers
        done(len(found), len(tasks))
        so_far(in_order)
    return in_order()
