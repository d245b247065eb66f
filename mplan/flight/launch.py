"""Day, clock time and azimuth of the launch: as the planner has fixed them, and what is open.

The planner states launch azimuths, over ground; arcs know the azimuth of the orbit's plane over the
pad. Here one becomes the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, time, timezone
from functools import lru_cache
from math import radians

from mplan.flight import lunar_orbit
from mplan.physics import constants as c
from mplan.physics.arcs import launch_time, outbound
from mplan.physics.arcs.injection import level
from mplan.physics.arcs.launch_time import LaunchGuess
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies.time import tdb_from_utc, utc_from_tdb
from mplan.physics.climb import launch_azimuth
from mplan.physics.launching import intervals as launch_intervals
from mplan.physics.launching.interval import SHORTEST, Interval
from mplan.scenario import Scenario
from mplan.scenario.stated import stated

USUAL_CLIMB = 600.0  # s, for the azimuth's first guess
USUAL_DOWNRANGE = radians(19.0)  # at Earth's centre, for the same


def midnight(scenario: Scenario) -> float:
    """Return the beginning of the launch day [TDB s]."""
    return _at(scenario, time())


def lift_off(scenario: Scenario) -> float | None:
    """Return the lift-off [TDB s] if its clock time is fixed, else None."""
    clock = scenario.dates.launch_time
    return None if clock is None else _at(scenario, clock)


def _at(scenario: Scenario, clock: time) -> float:
    return tdb_from_utc(datetime.combine(scenario.dates.launch_day, clock, timezone.utc))


def parking(scenario: Scenario, climb: float, downrange: float, plane_azimuth: float) -> Parking:
    """Return the parking orbit of a plane's azimuth [rad] that a `climb` [s] leads to.

    `downrange` [rad] lies between lift-off and insertion, at Earth's centre.
    """
    place = scenario.launch_site
    site = Site(place.latitude, place.longitude, plane_azimuth, climb=climb, downrange=downrange)
    return Parking(site, c.R_EARTH + scenario.orbits.parking_altitude, midnight(scenario))


def translunar_time(scenario: Scenario) -> float:
    """Return the planned time [s] from the injection to perilune."""
    return stated(scenario.dates.translunar_time, "dates.translunar_time")


def planned_plane(scenario: Scenario) -> float:
    """Return the azimuth [rad] of the plane that the planned launch azimuth leads to."""
    place = scenario.launch_site
    return launch_azimuth.of_plane(place.azimuth, place.latitude)


def plane_limits(scenario: Scenario) -> tuple[float, float]:
    """Return the least and greatest azimuth [rad] of the plane that range safety leaves."""
    place = scenario.launch_site
    return launch_azimuth.limits_of_plane(place.azimuth_min, place.azimuth_max, place.latitude)


def over_ground(scenario: Scenario, plane_azimuth: float) -> float:
    """Return the launch azimuth [rad] that leads to a plane's azimuth [rad]."""
    return launch_azimuth.over_ground(plane_azimuth, scenario.launch_site.latitude)


def plane_azimuth(scenario: Scenario) -> float:
    """Return the azimuth [rad] of the plane to climb into.

    The planned one, or for a fixed clock time that of a flight to the Moon after a usual climb,
    which the climb as flown moves by some hundredths of a degree.
    """
    moment = lift_off(scenario)
    return planned_plane(scenario) if moment is None else usual_launch(scenario, moment).azimuth


def usual_launch(scenario: Scenario, moment: float) -> LaunchGuess:
    """Return the launch to the Moon at a lift-off [TDB s], after a usual climb.

    Roughly as flown, or as guessed where no flight is found: it is remembered as a start.
    """
    orbit = parking(scenario, USUAL_CLIMB, USUAL_DOWNRANGE, planned_plane(scenario))
    revolutions, duration = scenario.orbits.parking_revolutions, translunar_time(scenario)
    low, sense = lunar_orbit.radius(scenario), lunar_orbit.sense(scenario)
    return _usual_launch(orbit, moment, revolutions, duration, low, sense)


@lru_cache(maxsize=64)  # the climb asks for its azimuth, and the way to the Moon begins there
def _usual_launch(
    orbit: Parking, moment: float, revolutions: int, duration: float, low: float, sense: float
) -> LaunchGuess:
    there = outbound.LunarPassage(revolutions, duration, low, level(sense))
    start = launch_time.guess_launch(orbit, moment, there)
    with suppress(ArithmeticError):
        flown = launch_time.target_at_launch_time(
            orbit, moment, there, start=start, aim=launch_time.ROUGH
        )
        return launch_time.launch_unknowns(flown)
    return start


def open_intervals(
    scenario: Scenario,
    orbit: Parking,
    there: outbound.LunarPassage,
    known: Sequence[outbound.Outbound] = (),
) -> tuple[Interval, ...]:
    """Return the intervals of the launch day in which the azimuth's limits lead to the Moon.

    Flights of about that day which are `known` already shorten the way.
    """
    return launch_intervals.open_intervals(
        replace(orbit, t=midnight(scenario)), plane_limits(scenario), there, known
    )


def flight_near(intervals: Sequence[Interval], moment: float) -> outbound.Outbound | None:
    """Return the flight next to a lift-off [TDB s] that lies in one of the intervals, else None."""
    flights = [
        each
        for interval in intervals
        if interval.opens.lift_off <= moment <= interval.closes.lift_off
        for each in interval.flights
    ]
    return min(flights, key=lambda each: abs(each.lift_off - moment), default=None)


def hours(intervals: Sequence[Interval], begins: float) -> str:
    """Return when within the day that `begins` [TDB s] a launch is open, in whole minutes (UTC).

    Intervals that follow one another are one to whoever asks for a clock time.
    """
    spans: list[list[float]] = []
    for each in intervals:
        opens, closes = each.opens.lift_off, each.closes.lift_off
        if spans and opens - spans[-1][1] < 2.0 * SHORTEST:
            spans[-1][1] = max(closes, spans[-1][1])
        else:
            spans.append([opens, closes])
    last = begins + c.DAY - c.MINUTE
    found = [
        f"{_clock(max(begins, opens) + c.MINUTE - 1.0)} to {_clock(min(last, closes))}"
        for opens, closes in spans
    ]
    return " or ".join(found) or "another day"


def _clock(t: float) -> str:
    return f"{utc_from_tdb(t):%H:%M}"
