"""Where over the turning ground a state of an entry is, and how far it has come."""

from __future__ import annotations

from math import acos, atan, atan2, cos, sin, sqrt

from mplan.physics import constants as c
from mplan.physics.entry.entry_motion import Six


def geodetic_place(state: Six, t: float) -> tuple[float, float]:
    """Return geodetic latitude and longitude [rad] from the meridian of right ascension zero.

    At `t` [s] after the interface; take the sidereal angle there away for the longitude.
    """
    x, y, z = state[:3]
    latitude = atan(z / sqrt(x * x + y * y) / (1.0 - c.F_EARTH) ** 2)
    return latitude, atan2(y, x) - c.W_EARTH * t


def ground_range(first: Six, last: Six, t: float) -> float:
    """Return the distance [m] over the turning ground, on a sphere of the equatorial radius."""
    (latitude, longitude), (there, beyond) = geodetic_place(first, 0.0), geodetic_place(last, t)
    cosine = sin(latitude) * sin(there) + cos(latitude) * cos(there) * cos(beyond - longitude)
    return c.R_EARTH * acos(max(-1.0, min(1.0, cosine)))
