"""Home to a place: the flight timed for its longitude, the plane tilted for its latitude.

From the Moon every plane leads down near the point opposite to it. An hour later is 15 deg
further west. How far north or south is a matter of the plane, which tilts about the line to the
Moon, and of the angle flown past the point opposite: some degrees either way. The rest the date
decides: in a month that point moves from up to 28 deg north to as far south and back.
"""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import homeward
from mplan.physics.arcs.homeward import ROUGH, SCALING, Homeward, ReturnPlane, guess_returns
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.downrange import place_ahead, wrapped
from mplan.physics.bodies.earth import declination
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import cross, turned, unit

NEAR = 60.0  # s of timing, a quarter of a degree: what the trim at the end takes up
EXACT = 0.5  # s, 200 m on the ground
NEARLY = 1e-4  # rad of latitude, 600 m
TRIES = 6
STEEPEST = 60.0 * c.DEG  # tilt from the plane of the Moon's orbit: no return over the poles
TILTS = np.linspace(-STEEPEST, STEEPEST, 5)  # flown; the rest is drawn through them
FLAT = 0.02  # rad of latitude a rad of tilt: nothing left to gain
MONTH = 27  # d, after which the Moon's declination comes again


class Goal(NamedTuple):
    """Where to come down: `distance` [m] on from the entry interface.

    At a `longitude` [rad], and within `slack` [rad] of a `latitude` [rad].
    """

    longitude: float
    distance: float
    latitude: float = 0.0
    slack: float = pi

    def reached(self, latitude: float) -> bool:
        """Tell whether a latitude [rad] lies within the slack."""
        return abs(latitude - self.latitude) <= self.slack

    def wanted(self, latitude: float) -> float:
        """Return the latitude [rad] to aim at, from the one that the cheapest return has."""
        return min(self.latitude + self.slack, max(self.latitude - self.slack, latitude))


class Family(NamedTuple):
    """Returns of one time of flight in planes of all tilts [rad]: their splashes and burns.

    `latitudes` [rad] and `burns` [m/s] belong to `tilts`, of which a few were flown.
    """

    tilts: np.ndarray
    latitudes: np.ndarray
    burns: np.ndarray

    @property
    def reach(self) -> tuple[float, float]:
        """Lowest and highest latitude [rad] of a splash."""
        return float(self.latitudes.min()), float(self.latitudes.max())

    def cheapest_to(self, latitude: float) -> tuple[float, float]:
        """Return the tilt [rad] of the cheapest to a latitude [rad], and latitude by tilt there.

        Where none comes so far, the tilt of the one that comes nearest, and zero.
        """
        off = self.latitudes - latitude
        near = np.flatnonzero(off[:-1] * off[1:] <= 0.0)
        if not near.size:
            return float(self.tilts[np.argmin(np.abs(off))]), 0.0
        place = near[np.argmin(self.burns[near])]
        return float(self.tilts[place]), float(np.gradient(self.latitudes, self.tilts)[place])


def target_recovery(
    orbit: LunarOrbit, *, time_of_flight: float, entry_angle: float, goal: Goal
) -> Homeward:
    """Return the cheapest return of `homeward.target_return` that comes down at a goal.

    Of the times of flight that lead to the longitude, the one nearest to `time_of_flight` [s],
    half a day off at most. The plane stays the cheapest while the latitude is within the slack;
    else it is tilted to the nearest latitude that is, or as near as a plane comes, and `reach`
    and `least` of the return say what there was to choose. The tilted burn is never below
    `least`, which is the cheapest plane's for the same time of flight. NoArc if there is none.
    """
    rough, duration = _timed(orbit, time_of_flight, entry_angle, goal, None)
    latitude = splash_latitude(rough.interface, goal.distance)
    if goal.reached(latitude):
        home = homeward.target_return(orbit, time_of_flight=duration, entry_angle=entry_angle)
        return _trimmed(home, duration, entry_angle, goal)
    wanted = goal.wanted(latitude)
    found = family(orbit, duration, entry_angle, goal.distance)
    tilt, slope = found.cheapest_to(wanted)
    tilted, duration = _timed(orbit, duration, entry_angle, goal, tilt)
    tilt += _more_tilt(tilted.interface, goal, wanted, slope)
    home = homeward.target_return(
        orbit,
        time_of_flight=duration,
        entry_angle=entry_angle,
        plane=plane_at(orbit.t, tilt),
    )
    home = _trimmed(home, duration, entry_angle, goal, (tilt, wanted, slope))
    cheapest = _cheapest(orbit, home, entry_angle)
    return replace(home, reach=found.reach, least=min(cheapest, home.delta_v))


def _cheapest(orbit: LunarOrbit, home: Homeward, entry_angle: float) -> float:
    """Return the least burn [m/s] in whatever plane, for the time of flight of a tilted return.

    Another time of flight, or a place of the orbit that is not the best, would be compared with
    something else than the tilt. Where no free plane is found, the tilted one is the least.
    """
    lasts = home.interface.t - home.t
    try:
        free = homeward.target_return(orbit, time_of_flight=lasts, entry_angle=entry_angle)
    except NoArc:
        return home.delta_v
    return free.delta_v


def plane_at(t: float, tilt: float) -> ReturnPlane:
    """Return the plane home that is tilted by `tilt` [rad] from that of the Moon's orbit at `t`.

    About the line from the Earth to the Moon, right-handed: a plane tilted by more than zero
    comes down more to the south with every degree past the point opposite to the Moon.
    """
    luna = ephemeris.moon(t)
    axis = unit(luna.r)
    return ReturnPlane(axis, turned(unit(cross(luna.r, luna.v)), axis, tilt))


def family(orbit: LunarOrbit, time_of_flight: float, entry_angle: float, distance: float) -> Family:
    """Return the returns in planes of all tilts, `distance` [m] on from the entry interface.

    Flown for `TILTS`, from the place that joined conics find best (5 m/s); the rest by the
    polynomial through them. NoArc if one of them does not come home.
    """
    flown = [_rough(orbit, time_of_flight, entry_angle, plane_at(orbit.t, tilt)) for tilt in TILTS]
    tilts = np.linspace(TILTS[0], TILTS[-1], 121)

    def drawn(values: list[float]) -> np.ndarray:
        return np.polyval(np.polyfit(TILTS, values, TILTS.size - 1), tilts)

    there = drawn([splash_latitude(x.interface, distance) for x in flown])
    return Family(tilts, there, drawn([x.delta_v for x in flown]))


def _rough(
    orbit: LunarOrbit, time_of_flight: float, entry_angle: float, plane: ReturnPlane | None
) -> Homeward:
    problem: NoArc | None = None
    for wait, burn in guess_returns(orbit, time_of_flight, entry_angle, plane):
        leaving = coast(orbit, wait)
        try:
            return homeward.leave_orbit(leaving, burn, time_of_flight, entry_angle, ROUGH, plane)
        except NoArc as missed:
            problem = problem or missed
    raise problem or NoArc("no place of the orbit leads home")


def _timed(
    orbit: LunarOrbit, time_of_flight: float, entry_angle: float, goal: Goal, tilt: float | None
) -> tuple[Homeward, float]:
    """Return a rough return to the goal's longitude, and the time of flight [s] still to take."""
    plane = None if tilt is None else plane_at(orbit.t, tilt)
    for _ in range(TRIES):
        rough = _rough(orbit, time_of_flight, entry_angle, plane)
        shift = late_by(rough.interface, goal)
        time_of_flight += shift
        if abs(shift) < NEAR:
            break
    return rough, time_of_flight


_Tilt = tuple[float, float, float]  # rad; the latitude it is for; latitude by tilt


def _trimmed(
    home: Homeward,
    time_of_flight: float,
    entry_angle: float,
    goal: Goal,
    tilting: _Tilt | None = None,
) -> Homeward:
    """Return the return with what is left of time and latitude taken out, from the same place."""
    tilt, wanted, slope = tilting or (0.0, 0.0, 0.0)
    for _ in range(TRIES):
        shift, more = late_by(home.interface, goal), _more_tilt(home.interface, goal, wanted, slope)
        if abs(shift) < EXACT and abs(more * slope) < NEARLY:
            break
        time_of_flight, tilt = time_of_flight + shift, tilt + more
        plane = plane_at(home.t, tilt) if tilting else None
        home = homeward.leave_orbit(
            home.leaving, home.burn, time_of_flight, entry_angle, SCALING, plane
        )
    return home


def _more_tilt(end: Arrival, goal: Goal, wanted: float, slope: float) -> float:
    """Return by how much [rad] to tilt the plane further; zero where that changes nothing."""
    if abs(slope) < FLAT:
        return 0.0
    return (wanted - splash_latitude(end, goal.distance)) / slope


def late_by(end: Arrival, goal: Goal) -> float:
    """Return by how much later [s] an arc should arrive to come down at the longitude."""
    there = place_ahead(end.r, end.v, end.t, goal.distance)[1]
    return wrapped(there - goal.longitude) / c.W_EARTH


def splash_latitude(end: Arrival, distance: float) -> float:
    """Return the latitude [rad] `distance` [m] on from the end of an arc."""
    return place_ahead(end.r, end.v, end.t, distance)[0]


def other_days(
    t: float, reach: tuple[float, float], latitude: float, slack: float
) -> tuple[int, float]:
    """Return in how many days from `t` [TDB s] a latitude [rad] is best reached, and how nearly.

    Of the days of a month before and after, the nearest on which the reach comes within `slack`
    [rad], else the one on which it comes nearest; with the latitude [rad] it then comes to. The
    reach moves with the point opposite to the Moon, and is taken to keep its width.
    """
    low, high = reach

    def there(days: int) -> float:
        moved = _opposite(t + days * c.DAY) - _opposite(t)
        return min(high + moved, max(low + moved, latitude))

    def off(days: int) -> tuple[float, int]:
        return max(slack, abs(there(days) - latitude)), abs(days)

    best = min(range(-MONTH, MONTH + 1), key=off)
    return best, there(best)


def _opposite(t: float) -> float:
    """Return the latitude [rad] of the point of the sky opposite to the Moon."""
    return -declination(unit(ephemeris.moon(t).r))
