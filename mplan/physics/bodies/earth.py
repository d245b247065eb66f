"""The turning Earth: directions of places on the ground, and the pole, in the GCRS.

UT1 is taken as UTC (they differ by less than 0.9 s, 420 m on the equator) and polar motion
as zero (15 m): neither can be known for the dates being planned, and nothing is downloaded.
"""

from __future__ import annotations

from datetime import datetime
from functools import cache, lru_cache
from itertools import pairwise
from math import asin, atan2, cos, floor, pi, sin, sqrt, tan

import erfa
import numpy as np

from mplan.physics.bodies.time import J2000, tt_from_tdb, utc_from_tdb
from mplan.physics.constants import DAY, F_EARTH, R_EARTH
from mplan.physics.vectors import frozen

SIDEREAL_RATE = 7.292115855e-5  # rad/s, mean sidereal, Explanatory Supplement 1992
HALF_DAY = DAY / 2.0
USUAL_TURN = SIDEREAL_RATE * HALF_DAY  # rad
STEP = 2e-6  # rad from half day to half day: nutation gives half of it, a leap second forty times
WGS84 = 1  # ERFA's number of the ellipsoid
_NOON_2000 = datetime(2000, 1, 1, 12)


def true_equator(t: float) -> np.ndarray:
    """Return the (3, 3) matrix from GCRS to true equator and equinox of date at `t` [TDB s].

    IAU 2006/2000A precession-nutation, in ERFA. Its last row is Earth's pole.
    """
    return erfa.pnm06a(*tt_from_tdb(t))


def true_equator_of_day(t: float) -> np.ndarray:
    """Return `true_equator` of the noon or midnight nearest to `t` [TDB s]."""
    return _true_equator_at(round(t / DAY))


@cache
def _true_equator_at(day: int) -> np.ndarray:
    return frozen(true_equator(day * DAY))


@lru_cache(maxsize=256)
def sidereal_angle(t: float) -> float:
    """Return Greenwich apparent sidereal time [rad] at `t` [TDB s], with UT1 = UTC.

    Between ERFA's at the noons and midnights around, by differences up to the third (Gauss's
    forward formula): to 3e-10 rad, 2 mm on the equator, and before 1972, when UTC ran slow, to
    1e-7 rad (measured); in a twentieth of the time. Next to a leap second, a step, ERFA's own.
    """
    half = floor(t / HALF_DAY)
    x = float(t) / HALF_DAY - half
    angle, *steps = (_sidereal_angle_of_half(half + i) for i in (0, -1, 0, 1, 2))
    before, ahead, after = ((b - a) % (2.0 * pi) for a, b in pairwise(steps))
    if max(abs(each - USUAL_TURN) for each in (before, ahead, after)) > STEP:
        return _apparent_sidereal_angle(t)
    second, third = ahead - before, after - 2.0 * ahead + before
    bent = x * (x - 1.0) / 2.0 * (second + (x + 1.0) / 3.0 * third)
    return (angle + x * ahead + bent) % (2.0 * pi)


@lru_cache(maxsize=256)
def _sidereal_angle_of_half(half: int) -> float:
    return _apparent_sidereal_angle(half * HALF_DAY)


def _apparent_sidereal_angle(t: float) -> float:
    """Return the sidereal time of IAU 2006/2000A, as ERFA has it."""
    moment = utc_from_tdb(t).replace(tzinfo=None)
    since = moment - _NOON_2000
    return float(erfa.gst06a(J2000, since.total_seconds() / DAY, *tt_from_tdb(t)))


def earth_fixed_axes(t: float) -> np.ndarray:
    """Return the (3, 3) matrix from GCRS to Earth-fixed axes at `t` [TDB s]."""
    return erfa.rz(sidereal_angle(t), true_equator(t))


def geodetic(r: np.ndarray, t: float) -> tuple[float, float, float]:
    """Return latitude [rad], east longitude [rad] and altitude [m] of GCRS `r` [m], WGS 84."""
    longitude, latitude, altitude = erfa.gc2gd(WGS84, earth_fixed_axes(t) @ r)
    return float(latitude), float(longitude), float(altitude)


def earth_fixed(
    longitude: float, latitude: float, altitude: float | np.ndarray = 0.0
) -> np.ndarray:
    """Return Earth-fixed places (..., 3) [m] of geodetic coordinates [rad], [m], WGS 84."""
    return np.asarray(erfa.gd2gc(WGS84, longitude, latitude, altitude))


def geocentric_latitude(latitude: float) -> float:
    """Return the geocentric latitude [rad] of a place at sea level from its geodetic one."""
    return atan2((1.0 - F_EARTH) ** 2 * tan(latitude), 1.0) if abs(latitude) < pi / 2 else latitude


def geodetic_latitude(latitude: float) -> float:
    """Return the geodetic latitude [rad] of a place at sea level from its geocentric one."""
    return atan2(tan(latitude), (1.0 - F_EARTH) ** 2) if abs(latitude) < pi / 2 else latitude


def surface_radius(sin_latitude: float) -> float:
    """Return the ellipsoid's radius [m] at the sine of a geocentric latitude."""
    squash = 1.0 / (1.0 - F_EARTH) ** 2 - 1.0
    return R_EARTH / sqrt(1.0 + squash * sin_latitude**2)


def inclination(latitude: float, azimuth: float) -> float:
    """Return the inclination [rad] of the plane through geocentric `latitude` along `azimuth`.

    cos i = cos(latitude) sin(azimuth), both in inertial space (Vallado 2013, ch. 6).
    """
    return float(np.arccos(cos(latitude) * sin(azimuth)))


def argument_of_latitude(latitude: float, azimuth: float) -> float:
    """Return the angle [rad] from the ascending node to a place at `latitude` on `azimuth`."""
    return atan2(sin(latitude), cos(latitude) * cos(azimuth))


def node_behind(latitude: float, azimuth: float) -> float:
    """Return how far [rad] a place lies east of its orbit's ascending node, along the equator."""
    return atan2(sin(latitude) * sin(azimuth), cos(azimuth))


def declination(direction: np.ndarray) -> float:
    """Return the angle [rad] of a unit vector above the xy plane of its frame."""
    return asin(max(-1.0, min(1.0, float(direction[2]))))
