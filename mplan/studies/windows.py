"""When to go: the launch windows of a span of days, each chance flown as a whole mission.

A day has chances on each side of the parking orbit (with the Moon met on its ascending or its
descending leg), open while the azimuth lies within the range's limits: one, or two where the Moon
stands further from the equator than the launch site does and orbits that run too nearly due east
miss it. Each is flown along the planned azimuth or, where that misses the Moon, along the nearest
that does not. Days are worked out each on its own, so that the numbers do not depend on who works
on what.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import inf
from typing import Any

from mplan.checks.light import sun_at_landing
from mplan.contingencies import failed_insertion
from mplan.contingencies.failed_insertion import FailedInsertion
from mplan.flight import launch, translunar, walk
from mplan.flight.ships.second_launch import MEETING
from mplan.flight.state import existing
from mplan.physics import constants as c
from mplan.physics.arcs.launch_intervals import Interval
from mplan.physics.bodies import daylight, ephemeris
from mplan.physics.bodies.earth import declination, true_equator_of_day
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.vectors import unit
from mplan.plan import Plan, fly
from mplan.scenario import LandingSite, Scenario, ScenarioError
from mplan.scenario.events import has_burn
from mplan.scenario.profiles import FREE_RETURN
from mplan.studies.workers import shared

SECOND = "the ship that waits in Earth orbit decides when the other can follow, not the Moon"
SIDES = ("ascending", "descending")
WORTH_SHARING = 6  # days: below that, starting processes costs more than they save
SHARP = 1.0  # s, to which the ends of a window are found
INSIDE = timedelta(minutes=1)  # from the end of a window, where that is flown


@dataclass(frozen=True)
class Chance:
    """A launch window: epochs in UTC, angles in [rad], velocities in [m/s], times in [s].

    Azimuths are launch azimuths, over ground; `plane_azimuth` is that of the orbit over the pad.
    """

    day: date
    side: str
    number: int  # of those of the day and side, the first being 1
    opens: datetime
    closes: datetime
    azimuth_opening: float
    azimuth_closing: float
    lift_off: datetime  # all that follows is for the flight that lifts off then
    azimuth: float
    plane_azimuth: float
    planned: bool  # along the planned azimuth, or the nearest that leads to the Moon
    injection_delta_v: float
    translunar_time: float
    perilune: datetime
    moon_declination: float  # true equator of date, at perilune
    sun_at_landing: float | None
    sun_fits: bool | None  # within the limits of the scenario
    splash: datetime | None  # None of a mission that stays at the Moon
    splash_estimate: bool  # no entry is flown
    sun_at_splash: float | None
    failed: FailedInsertion | None  # what the arc does if insertion fails
    plan_closes: bool
    decisions_open: int
    verdict: str
    tightest_margin: float

    @property
    def splash_light(self) -> str:
        """Daylight, twilight (the Sun less than 6 deg below the horizon) or night at the splash."""
        return "" if self.sun_at_splash is None else daylight.word(self.sun_at_splash)

    @property
    def duration(self) -> float:
        """How long the window is open [s]."""
        return (self.closes - self.opens).total_seconds()


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
    if has_burn(scenario.events, MEETING):
        return [NoChance(day, side, SECOND) for side in SIDES]
    changes: dict[str, Any] = {"dates.launch_day": day}
    if scenario.dates.launch_time is not None:
        changes["dates.launch_time"] = None
    base = scenario.change(changes)
    flown = {side: _flown(base, {"dates.side": side}) for side in SIDES}
    plans = [x for x in flown.values() if isinstance(x, Plan)]
    ended = next((x.flight.ended for x in plans if x.flight.ended), None)
    if ended is not None:
        return [NoChance(day, side, ended.text) for side in SIDES]
    intervals = _intervals(base, plans)
    found: list[Answer] = []
    for side, plan in flown.items():
        there = (_in_interval(base, plan, each) for each in intervals if each.side == side)
        of_side = [x for x in there if x is not None]
        if not of_side:
            found.append(NoChance(day, side, _why(plan, base)))
        for number, (it, each) in enumerate(of_side, start=1):
            if isinstance(it, str):
                found.append(NoChance(day, side, it))
            elif it.flight.ended:
                found.append(NoChance(day, side, it.flight.ended.text))
            else:
                found.append(_chance(it, day, number, each, planned=it is plan))
    return found


def _flown(base: Scenario, changes: dict[str, Any]) -> Plan | str:
    """Return the plan with some changes, or why it cannot be flown."""
    try:
        return fly(base.change(changes))
    except ScenarioError as problems:
        return "; ".join(x.text for x in problems.problems)


def _why(plan: Plan | str, base: Scenario) -> str:
    """Return why a side of a day has no chance."""
    if isinstance(plan, str):
        return plan
    low, high = base.launch_site.azimuth_min / c.DEG, base.launch_site.azimuth_max / c.DEG
    return f"no azimuth from {low:g} deg to {high:g} deg leads to the Moon on this side"


def _intervals(base: Scenario, plans: list[Plan]) -> tuple[Interval, ...]:
    """Return the intervals in which the day is open; () where no passage of the Moon is known."""
    if plans:
        end = plans[0].flight.end
        orbit, there = end.outbound.parking, translunar.passage_of(end)
    elif base.orbits.flyby_altitude is not None or base.orbits.translunar_arc == FREE_RETURN:
        return ()  # its time of flight follows from an arc, and there is none
    else:
        climb = walk.climb(base)
        orbit = launch.parking(base, climb.duration, climb.angle, launch.planned_plane(base))
        there = translunar.passage(base, base.events)
    return launch.open_intervals(base, orbit, there)


def _in_interval(
    base: Scenario, planned: Plan | str, interval: Interval
) -> tuple[Plan | str, Interval] | None:
    """Return the plan that lifts off in an interval; None where that is on another day.

    Along the planned azimuth where that lies in the interval, else as near to it as one comes.
    """
    near, within = interval.nearest(launch.planned_plane(base))
    if within:
        if isinstance(planned, str):
            off_day = utc_from_tdb(near.lift_off).date() != base.dates.launch_day
            return None if off_day else (planned, interval)
        there = planned.flight.end.lift_off
        early, late = interval.opens.lift_off - there, there - interval.closes.lift_off
        return None if max(early, late) > SHARP else (planned, interval)
    moment = utc_from_tdb(near.lift_off)
    opens, closes = (utc_from_tdb(x.lift_off) for x in (interval.opens, interval.closes))
    inside = min(INSIDE, (closes - opens) / 4)
    moment = max(opens + inside, min(closes - inside, moment)).replace(microsecond=0)
    if moment.date() != base.dates.launch_day:
        return None
    clock = {"dates.launch_time": moment.time(), "dates.side": interval.side}
    return _flown(base, clock), interval


def _chance(plan: Plan, day: date, number: int, interval: Interval, *, planned: bool) -> Chance:
    flight, out = plan.flight, plan.flight.end.outbound
    splash, sun = flight.splash, sun_at_landing(flight)
    return Chance(
        day=day,
        side=interval.side,
        number=number,
        opens=utc_from_tdb(interval.opens.lift_off),
        closes=utc_from_tdb(interval.closes.lift_off),
        azimuth_opening=launch.over_ground(plan.scenario, interval.opens.azimuth),
        azimuth_closing=launch.over_ground(plan.scenario, interval.closes.azimuth),
        lift_off=utc_from_tdb(out.lift_off),
        azimuth=launch.over_ground(plan.scenario, out.azimuth),
        plane_azimuth=out.azimuth,
        planned=planned,
        injection_delta_v=out.delta_v,
        translunar_time=out.perilune.t - out.injection,
        perilune=utc_from_tdb(out.perilune.t),
        moon_declination=_declination(out.perilune.t),
        sun_at_landing=sun,
        sun_fits=None if sun is None else _fits(plan.scenario.site, sun),
        splash=splash and utc_from_tdb(splash.t),
        splash_estimate=bool(splash and splash.estimate),
        sun_at_splash=splash and daylight.light_at(splash.latitude, splash.longitude, splash.t).sun,
        failed=failed_insertion.of(flight),
        plan_closes=plan.closes,
        decisions_open=plan.decisions_open,
        verdict=plan.verdict,
        tightest_margin=existing(plan.tightest, "a burn").margin,
    )


def _fits(place: LandingSite, sun: float) -> bool:
    return place.sun_min <= sun <= place.sun_max


def _declination(t: float) -> float:
    return declination(unit(true_equator_of_day(t) @ ephemeris.moon(t).r))


def scan_windows(
    scenario: Scenario,
    first: date,
    days: int,
    *,
    workers: int | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[Callable[[], list[Answer]]], None] = lambda found: None,
    stopped: Callable[[], bool] = lambda: False,
) -> list[Answer]:
    """Return the chances of `days` from `first`, in order of day and side.

    `workers` processes share the work (1: none but this one). After each day, `done` is told how
    many of how many are flown, `so_far` is given a function that returns what has been found, and
    `stopped` is asked whether to leave the rest unflown.
    """
    tasks = [first + timedelta(days=i) for i in range(days)]
    found: dict[date, list[Answer]] = {}

    def in_order() -> list[Answer]:
        return [answer for task in tasks if task in found for answer in found[task]]

    for task, answers in _answers(scenario, tasks, workers):
        found[task] = answers
        done(len(found), len(tasks))
        so_far(in_order)
        if stopped():
            break
    return in_order()


def _answers(
    scenario: Scenario, tasks: list[date], workers: int | None
) -> Iterator[tuple[date, list[Answer]]]:
    if workers == 1 or (workers is None and len(tasks) < WORTH_SHARING):
        for task in tasks:
            yield task, of_day(scenario, task)
        return
    for i, answers in shared(of_day, [(scenario, task) for task in tasks], workers):
        yield tasks[i], answers
