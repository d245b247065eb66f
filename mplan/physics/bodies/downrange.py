"""Straight on over the turning Earth: where a flight of given length and time comes down."""

from __future__ import annotations

from math import acos, asin, atan2, cos, pi, sin

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.physics.vectors import cross, unit

NORTH = np.array([0.0, 0.0, 1.0])


def place_ahead(r: np.ndarray, v: np.ndarray, t: float, distance: float) -> tuple[float, float]:
    """Return latitude and east longitude [rad] `distance` [m] on along the ground track.

    `r`, `v` GCRS at `t` [TDB s]; the heading is that over the ground. A great circle of a sphere:
    with geodetic latitudes the ellipsoid is worth some km in 2000.
    """
    axes = earth.earth_fixed_axes(t)
    fixed = axes @ r
    latitude, longitude, _ = earth.geodetic(r, t)
    over = axes @ v - earth.SIDEREAL_RATE * cross(NORTH, fixed)
    up = unit(fixed)
    east = unit(cross(NORTH, up))
    heading = atan2(float(over @ east), float(over @ cross(up, east)))
    angle = distance / c.R_EARTH
    there = asin(sin(latitude) * cos(angle) + cos(latitude) * sin(angle) * cos(heading))
    turn = atan2(sin(heading) * sin(angle) * cos(latitude), cos(angle) - sin(latitude) * sin(there))
    return there, wrapped(longitude + turn)


def wrapped(angle: float) -> float:
    """Return an angle [rad] in -pi..pi."""
    return (angle + pi) % (2.0 * pi) - pi


def ground_distance(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return the great-circle distance [m] between two places on Earth [rad], on a sphere.

    Each is a latitude and a longitude.
    """
    (north, east), (up, over) = one, other
    cosine = sin(north) * sin(up) + cos(north) * cos(up) * cos(east - over)
    return c.R_EARTH * acos(max(-1.0, min(1.0, cosine)))
