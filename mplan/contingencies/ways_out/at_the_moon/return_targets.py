"""The way home by one impulse from a lunar orbit: when, how long, and to which place.

A revolution is targeted once: all that is called off within it leaves as one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.at_the_moon.leaving import Leaving
from mplan.flight.homeward import goal
from mplan.physics import constants as c
from mplan.physics.arcs import homeward, recovery
from mplan.physics.arcs.homeward import SCALING, Homeward, ReturnPlane
from mplan.physics.arcs.lunar_orbit import LunarOrbit, OrbitKey, coast, key_of
from mplan.physics.arcs.recovery import Goal
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.vectors import cross, unit

TIMES = tuple(hours * c.HOUR for hours in range(42, 139, 12))  # s home that are looked at
TRIED = 2  # times home, the cheapest by joined conics, that are flown from one orbit
SMOOTH: Degree = 2  # of the field in which ways home are looked for
KEPT = 0.03  # of what is there, for what a burn loses while it lasts (our choice)
SOONER = 3.0 * c.HOUR  # by which a way home is worth more delta-v (our choice)
LOOKS = 2  # at the shortest time (our choice)
HOPELESS = 1.25  # of what is there: what joined conics take more for is not flown


def best_return(leaving: Leaving, there: float) -> Homeward | None:
    """Return the way home for the plan's time of flight, or the one that takes least.

    That where the first takes more than is `there` [m/s]; where joined conics see no hope in that
    either, the plan's is told. None where no arc was found.
    """
    times = _times(leaving, there)
    first = next_return(leaving, times.planned) if times.planned else None
    if first is not None and (first.delta_v <= there or not times.hope):
        return first
    found = [each for each in (first, next_return(leaving, times.least)) if each is not None]
    return min(found, key=lambda each: each.delta_v, default=None)


class _Times(NamedTuple):
    """Times of flight [s] that are worth flying: the plan's, 0.0 if it is not, and the cheapest.

    `hope` tells whether joined conics have enough for the cheapest.
    """

    planned: float
    least: float
    hope: bool


def _times(leaving: Leaving, there: float) -> _Times:
    """Return the times of flight home that are worth flying with what is `there` [m/s]."""
    planned = leaving.flight.scenario.dates.transearth_time or TIMES[len(TIMES) // 2]
    least, most = cheapest_time(leaving), HOPELESS * there
    hope = guess_for(leaving, least) < most
    worth = not hope or guess_for(leaving, planned) < most
    return _Times(planned if worth else 0.0, least, hope)


def not_home_before(leaving: Leaving, there: float) -> float:
    """Return a time [s since lift-off] before which `best_return` does not end, nor ways like it.

    From the orbit at once, in the shortest time of flight that is worth flying with what is `there`
    [m/s], less what these are moved by: half a day to the longitude of an area, half a day
    between times that are looked at.
    """
    times = _times(leaving, there)
    lasts = min(times.planned or times.least, times.least) - c.DAY
    return leaving.orbit.t - leaving.state.lift_off + lasts


def soonest_return(leaving: Leaving, there: float) -> Homeward | None:
    """Return the way home in the shortest time of flight that takes no more than `there` [m/s].

    Told by joined conics and what one flown return takes more than they do, to an hour. None where
    it is no sooner than `best_return`.
    """
    slow = best_return(leaving, there)
    if slow is None or slow.delta_v > there:
        return None
    lasts, found = slow.interface.t - slow.t, slow
    for _ in range(LOOKS):
        more = found.delta_v - guess_for(leaving, found.interface.t - found.t)
        hours = _shortest(leaving, (1.0 - KEPT) * there - more, lasts)
        sooner = next_return(leaving, hours * c.HOUR) if hours * c.HOUR < lasts - SOONER else None
        if sooner is None:
            return None
        if sooner.delta_v <= (1.0 - KEPT / 2.0) * there:
            return sooner if sooner.interface.t < slow.interface.t else None
        found = sooner
    return None


def _shortest(leaving: Leaving, there: float, longest: float) -> int:
    """Return the fewest whole hours, up to `longest` [s], that joined conics have `there` for."""
    low, high = int(TIMES[0] / c.HOUR), int(longest / c.HOUR)
    while low < high:  # sooner is dearer, up to the cheapest
        middle = (low + high) // 2
        if guess_for(leaving, middle * c.HOUR) <= there:
            high = middle
        else:
            low = middle + 1
    return high


def next_return(leaving: Leaving, duration: float) -> Homeward | None:
    """Return the best way home in a time of flight [s] of the first revolution that is left.

    A revolution is targeted once, and remembered: what is called off within it leaves as one.
    """
    scenario, orbit = leaving.flight.scenario, leaving.orbit
    period = orbit.period
    turn = max(0, int((leaving.ready - orbit.t) / period))
    area = None if scenario.recovery is None else goal(scenario)
    for each in (turn, turn + 1):
        begin = key_of(coast(orbit, each * period))
        found = _homed(begin, area, duration, scenario.orbits.entry_angle)
        if found is not None and found.t >= leaving.ready:
            return found
    return None


@lru_cache(maxsize=1024)
def _homed(key: OrbitKey, area: Goal | None, duration: float, angle: float) -> Homeward | None:
    """Return the way home from an orbit, to an area if there is one that is reached; or None.

    Looked for in the field up to degree 2, where arcs are flown in a tenth of the time; in the
    orbit's own field it is then flown from the place that is best there.
    """
    found = _looked_for(key._replace(degree=SMOOTH), area, duration, angle)
    if found is None or key.degree == SMOOTH:
        return found
    try:
        return _in_the_field(key.orbit, found, angle)
    except ArithmeticError:
        return None


@lru_cache(maxsize=1024)
def _looked_for(key: OrbitKey, area: Goal | None, duration: float, angle: float) -> Homeward | None:
    """Return the way home as the smooth field has it; or None."""
    orbit = key.orbit
    try:
        if area is None:
            return homeward.target_return(orbit, time_of_flight=duration, entry_angle=angle)
        return recovery.target_recovery(
            orbit, goal=area, time_of_flight=duration, entry_angle=angle
        )
    except ArithmeticError:
        return None


def _in_the_field(orbit: LunarOrbit, found: Homeward, angle: float) -> Homeward:
    """Return a way home in the orbit's own field: as long, in its plane if that was chosen."""
    end, plane = found.interface, None
    if found.reach is not None:
        plane = ReturnPlane(unit(ephemeris.moon(found.t).r), unit(cross(end.r, end.v)))
    home = homeward.leave_orbit(
        coast(orbit, found.t - orbit.t), found.burn, end.t - found.t, angle, SCALING, plane
    )
    return replace(home, reach=found.reach, least=found.least and min(found.least, home.delta_v))


def cheapest_time(leaving: Leaving) -> float:
    """Return the time of flight [s] of the cheapest joined conics home from the orbit."""
    orbit = leaving.orbit
    turn = max(0, int((leaving.ready - orbit.t) / orbit.period))
    costs = guessed(key_of(coast(orbit, turn * orbit.period)), entry_angle(leaving))
    return min(costs, key=lambda each: each[1])[0]


def guess_for(leaving: Leaving, duration: float) -> float:
    """Return what joined conics take [m/s] for one time of flight [s]; inf where there are none."""
    orbit = leaving.orbit
    turn = max(0, int((leaving.ready - orbit.t) / orbit.period))
    return dict(
        guessed(key_of(coast(orbit, turn * orbit.period)), entry_angle(leaving), duration)
    ).get(duration, inf)


def entry_angle(leaving: Leaving) -> float:
    """Return the angle [rad] at which a return is to meet the air."""
    return leaving.flight.scenario.orbits.entry_angle


@lru_cache(maxsize=1024)
def guessed(
    key: OrbitKey, angle: float, only: float | None = None
) -> tuple[tuple[float, float], ...]:
    """Return times of flight [s] and what joined conics take [m/s], a first guess only."""
    found = []
    for duration in TIMES if only is None else (only,):
        try:
            _, burn = homeward.guess_return(key.orbit, duration, angle)
        except ArithmeticError:
            continue
        found.append((duration, float(np.linalg.norm(burn))))
    return tuple(found) or ((TIMES[-1], inf),)


@dataclass(frozen=True)
class Onward:
    """Tells the cheapest way home from an orbit, at an `angle` [rad], wherever it comes down."""

    angle: float

    def __call__(self, orbit: LunarOrbit) -> Homeward | None:
        """Return it, by one impulse in the revolution ahead; None where none was found."""
        key = key_of(orbit)
        costs = sorted(guessed(key, self.angle), key=lambda each: each[1])
        found = [_homed(key, None, duration, self.angle) for duration, _ in costs[:TRIED]]
        return min((x for x in found if x), key=lambda x: x.delta_v, default=None)

    def about(self, orbit: LunarOrbit) -> Homeward | None:
        """Return one whose place is good enough for a burn that only raises the apolune there.

        In the smooth field, for the time of flight that joined conics find cheapest.
        """
        key = key_of(orbit)
        duration, _ = min(guessed(key, self.angle), key=lambda each: each[1])
        return _looked_for(key._replace(degree=SMOOTH), None, duration, self.angle)
