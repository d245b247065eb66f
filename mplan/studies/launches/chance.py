"""One chance to launch: when, what the flight that lifts off then costs, and whether it closes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from mplan.checks.light import sun_at_landing
from mplan.contingencies import failed_insertion
from mplan.contingencies.failed_insertion import FailedInsertion
from mplan.flight import launch
from mplan.flight.state import existing
from mplan.physics.bodies import daylight, ephemeris
from mplan.physics.bodies.earth import declination, true_equator_of_day
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.launching.interval import Interval
from mplan.physics.vectors import unit
from mplan.plan import Plan
from mplan.scenario import LandingSite
from mplan.studies.launches import launch_days


@dataclass(frozen=True)
class OtherLaunch:
    """The launch of another ship of the mission: epochs in UTC, launch azimuth in [rad].

    `opens` and `closes` are the ends of its window; None of one that was not asked for.
    """

    name: str
    lift_off: datetime
    azimuth: float
    opens: datetime | None
    closes: datetime | None


@dataclass(frozen=True)
class Chance:
    """A launch window: epochs in UTC, angles in [rad], velocities in [m/s], times in [s].

    Azimuths are launch azimuths, over ground; `plane_azimuth` is that of the orbit over the pad.
    A launch to a ship in Earth orbit opens and closes at one moment, and has that ship's side.
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
    others: tuple[OtherLaunch, ...] = ()  # launches of other ships, in the order of the file

    @property
    def splash_light(self) -> str:
        """Daylight, twilight (the Sun less than 6 deg below the horizon) or night at the splash."""
        return "" if self.sun_at_splash is None else daylight.word(self.sun_at_splash)

    @property
    def duration(self) -> float:
        """How long the window is open [s]."""
        return (self.closes - self.opens).total_seconds()


class _Launch(NamedTuple):
    """When a ship can go and goes [TDB s], and into planes of which azimuths [rad]."""

    opens: float
    closes: float
    lift_off: float
    opening: float
    closing: float
    plane: float


def _launch(plan: Plan, interval: Interval) -> _Launch:
    """Return the launch of the main ship: in an interval, or at the moment of another's plane."""
    second, out = plan.flight.end.second, plan.flight.end.outbound
    if second is not None:
        moment, plane = second.chaser.lift_off, second.azimuth
        return _Launch(moment, moment, moment, plane, plane, plane)
    first, last = interval.opens, interval.closes
    times = first.lift_off, last.lift_off, out.lift_off
    return _Launch(*times, first.azimuth, last.azimuth, out.azimuth)


def _others(plan: Plan, interval: Interval) -> Iterator[OtherLaunch]:
    """Yield the launches of the other ships, that of the ship which decides with its window."""
    decides = launch_days.leader(plan.scenario)
    ends = utc_from_tdb(interval.opens.lift_off), utc_from_tdb(interval.closes.lift_off)
    for name, flight in plan.flight.others.items():
        opens, closes = ends if name == decides else (None, None)
        azimuth = launch.over_ground(flight.scenario, flight.end.launch.azimuth)
        yield OtherLaunch(name, utc_from_tdb(flight.end.lift_off), azimuth, opens, closes)


def chance_of(plan: Plan, day: date, number: int, interval: Interval, *, planned: bool) -> Chance:
    """Return the chance that a plan is, whose lift-off lies in an interval of its day.

    `number` counts those of the day and side from 1; `planned`: along the planned azimuth.
    """
    flight, out = plan.flight, plan.flight.end.outbound
    splash, sun, own = flight.splash, sun_at_landing(flight), _launch(plan, interval)
    return Chance(
        day=day,
        side=interval.side,
        number=number,
        opens=utc_from_tdb(own.opens),
        closes=utc_from_tdb(own.closes),
        azimuth_opening=launch.over_ground(plan.scenario, own.opening),
        azimuth_closing=launch.over_ground(plan.scenario, own.closing),
        lift_off=utc_from_tdb(own.lift_off),
        azimuth=launch.over_ground(plan.scenario, own.plane),
        plane_azimuth=own.plane,
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
        others=tuple(_others(plan, interval)),
    )


def _fits(place: LandingSite, sun: float) -> bool:
    return place.sun_min <= sun <= place.sun_max


def _declination(t: float) -> float:
    return declination(unit(true_equator_of_day(t) @ ephemeris.moon(t).r))
