"""When to go: the launch windows of a span of days, each chance flown as a whole mission.

A day has a chance on each side of the parking orbit (with the Moon met on its ascending or its
descending leg), open while the azimuth lies within the range's limits. Each is flown with
integrated arcs on its own, from the same two-body guess, so that the numbers do not depend on
who works on what.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from mplan.checks.light import sun_at_landing
from mplan.flight import translunar
from mplan.flight.state import existing
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.arcs.outbound import Outbound
from mplan.physics.bodies import daylight, ephemeris
from mplan.physics.bodies.earth import declination, true_equator_of_day
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.vectors import unit
from mplan.plan import Plan, fly
from mplan.scenario import LandingSite, Scenario, ScenarioError
from mplan.studies.workers import shared

SIDES = ("ascending", "descending")
WORTH_SHARING = 40  # tasks: below that, starting processes costs more than they save
HALVINGS = 7  # of the azimuths between one that has an arc and one that has none
CORRIDOR = (-7.4, -5.2)  # deg: an arc round the Moon entering so counts as a free return


@dataclass(frozen=True)
class Chance:
    """A launch window: epochs in UTC, angles in [rad], velocities in [m/s], times in [s]."""

    day: date
    side: str
    opens: datetime
    closes: datetime
    azimuth_opening: float
    azimuth_closing: float
    lift_off: datetime  # along the planned azimuth; all that follows is for that flight
    injection_delta_v: float
    translunar_time: float
    perilune: datetime
    moon_declination: float  # true equator of date, at perilune
    sun_at_landing: float | None
    sun_fits: bool | None  # within the limits of the scenario
    splash: datetime
    splash_estimate: bool  # no entry is flown
    sun_at_splash: float
    free_return: bool
    plan_closes: bool
    verdict: str
    tightest_margin: float

    @property
    def splash_light(self) -> str:
        """Daylight, twilight (the Sun less than 6 deg below the horizon) or night at the splash."""
        return daylight.word(self.sun_at_splash)

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


def of_day(scenario: Scenario, day: date, side: str) -> Answer:
    """Return the chance of one day and side."""
    try:
        clock = {"dates.launch_time": None} if scenario.dates.launch_time else {}
        plan = fly(scenario.change({"dates.launch_day": day, "dates.side": side, **clock}))
    except ScenarioError as problems:
        return NoChance(day, side, "; ".join(x.text for x in problems.problems))
    if plan.flight.ended:
        return NoChance(day, side, plan.flight.ended.text)
    site = scenario.launch_site
    edges = [_edge(plan, azimuth) for azimuth in (site.azimuth_min, site.azimuth_max)]
    first, last = sorted(edges, key=lambda edge: edge.lift_off)
    return _chance(plan, day, side, first, last)


def _edge(plan: Plan, azimuth: float) -> Outbound:
    """Return the flight along a limit of the azimuth, or along the nearest that leads there.

    Near the greatest declination of the Moon, planes that run too nearly due east miss it.
    """
    end = plan.flight.end
    good, bad, best = plan.scenario.launch_site.azimuth, azimuth, end.outbound
    for halving in range(HALVINGS + 1):
        tried = bad if halving == 0 else (good + bad) / 2.0
        try:
            best = translunar.along_azimuth(end, tried)
        except ArithmeticError:
            bad = tried
            continue
        if halving == 0:
            return best
        good = tried
    return best


def _chance(plan: Plan, day: date, side: str, first: Outbound, last: Outbound) -> Chance:
    flight, out = plan.flight, plan.flight.end.outbound
    splash, sun = existing(flight.splash, "a splash"), sun_at_landing(flight)
    return Chance(
        day=day,
        side=side,
        opens=utc_from_tdb(first.lift_off),
        closes=utc_from_tdb(last.lift_off),
        azimuth_opening=first.parking.site.azimuth,
        azimuth_closing=last.parking.site.azimuth,
        lift_off=utc_from_tdb(out.lift_off),
        injection_delta_v=out.delta_v,
        translunar_time=out.perilune.t - out.injection,
        perilune=utc_from_tdb(out.perilune.t),
        moon_declination=_declination(out.perilune.t),
        sun_at_landing=sun,
        sun_fits=None if sun is None else _fits(plan.scenario.site, sun),
        splash=utc_from_tdb(splash.t),
        splash_estimate=bool(splash.estimate),
        sun_at_splash=daylight.light_at(splash.latitude, splash.longitude, splash.t).sun,
        free_return=comes_home(out),
        plan_closes=plan.closes,
        verdict=plan.verdict,
        tightest_margin=existing(plan.tightest, "a burn").margin,
    )


def _fits(place: LandingSite, sun: float) -> bool:
    return place.sun_min <= sun <= place.sun_max


def comes_home(out: Outbound) -> bool:
    """Tell whether the arc, with no burn at the Moon, comes back into the entry corridor."""
    there = out.perilune
    end = nbody.fly_arc(there.r, there.v, there.t, 12 * c.DAY, "earth")
    if end.stop != "entry interface":
        return False
    low, high = CORRIDOR
    return low <= flight_path_angle(end.r, end.v) / c.DEG <= high


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

    `workers` processes share the work (1: none but this one). After each, `done` is told how many
    of how many are flown, `so_far` is given a function that returns what has been found, and
    `stopped` is asked whether to leave the rest unflown.
    """
    tasks = [(first + timedelta(days=i), side) for i in range(days) for side in SIDES]
    found: dict[tuple[date, str], Answer] = {}

    def in_order() -> list[Answer]:
        return [found[task] for task in tasks if task in found]

    for task, answer in _answers(scenario, tasks, workers):
        found[task] = answer
        done(len(found), len(tasks))
        so_far(in_order)
        if stopped():
            break
    return in_order()


def _answers(scenario: Scenario, tasks: list, workers: int | None) -> Iterator[tuple]:
    if workers == 1 or (workers is None and len(tasks) < WORTH_SHARING):
        for task in tasks:
            yield task, of_day(scenario, *task)
        return
    questions = [(scenario, *task) for task in tasks]
    for i, answer in shared(of_day, questions, workers):
        yield tasks[i], answer
