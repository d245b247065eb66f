"""Lines of sight about the Moon: is Earth seen, is the Sun seen, how high does it stand?

Straight lines between places at one time: the light's own travel shifts Earth by 1 arcsec and
the Sun by 20. The Moon is a sphere without hills.
"""

from __future__ import annotations

from itertools import pairwise
from math import atan2

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.vectors import Vector, cross, dotted, floats


def hidden(place: np.ndarray, towards: np.ndarray, radius: float = c.R_MOON) -> np.ndarray:
    """Tell whether a sphere about the origin stands between `place` and `towards`.

    `place` (..., 3) [m] outside the sphere, `towards` (..., 3) [m] far from it; an array of bool.
    """
    ray = towards - place
    along = np.sum(place * ray, axis=-1) / np.sum(ray * ray, axis=-1)
    nearest = place - along[..., None] * ray
    ahead = along < 0.0  # the nearest point to the origin lies on the way, not behind
    return ahead & (np.sum(nearest * nearest, axis=-1) < radius**2)


def in_contact(lunar_r: np.ndarray, t: float) -> bool:
    """Tell whether Earth's centre is seen from `lunar_r` [m, from the Moon's centre] at `t`."""
    return not _hidden(floats(lunar_r), floats(-ephemeris.moon(t).r))


def in_sunlight(lunar_r: np.ndarray, t: float) -> bool:
    """Tell whether the Sun's centre is seen past the Moon from `lunar_r` [m] at `t` [TDB s].

    Earth's own shadow, a few hours in a lunar eclipse, is neglected.
    """
    return not _hidden(floats(lunar_r), floats(ephemeris.sun(t).r - ephemeris.moon(t).r))


def _hidden(place: Vector, towards: Vector, radius: float = c.R_MOON) -> bool:
    """Tell what `hidden` does of one place, in a tenth of the time."""
    (x, y, z), (u, v, w) = place, towards
    ray = (u - x, v - y, w - z)
    along = dotted(place, ray) / dotted(ray, ray)
    nearest = x - along * ray[0], y - along * ray[1], z - along * ray[2]
    return along < 0.0 and dotted(nearest, nearest) < radius**2


def sun_elevation(latitude: float, longitude: float, t: float) -> float:
    """Return the Sun's elevation [rad] over a level horizon at a place on the Moon [rad]."""
    here = selenography.site_position(latitude, longitude, t)
    return _elevation(ephemeris.sun(t).r - ephemeris.moon(t).r - here, here)


def time_in_night(latitude: float, longitude: float, begin: float, end: float) -> float:
    """Return for how long [s] the Sun's centre is below the horizon at a place on the Moon [rad].

    From `begin` to `end` [TDB s], over a level horizon: near a pole, hills decide instead. Between
    looks at most three hours apart the Sun is taken to rise evenly, which is good to a minute.
    """
    looks = np.linspace(begin, end, 2 + int((end - begin) / (3.0 * c.HOUR)))
    high = [sun_elevation(latitude, longitude, t) for t in looks.tolist()]
    dark = (_share_below(one, two) for one, two in pairwise(high))
    return float(looks[1] - looks[0]) * sum(dark)


def _share_below(one: float, two: float) -> float:
    """Return the share of the way from one number to another that is below zero."""
    low, top = min(one, two), max(one, two)
    if low >= 0.0:
        return 0.0
    return 1.0 if top <= 0.0 else low / (low - top)


def sun_elevation_on_earth(r: np.ndarray, t: float) -> float:
    """Return the Sun's elevation [rad] over the geocentric horizon under GCRS `r` [m]."""
    return _elevation(ephemeris.sun(t).r - r, r)


def _elevation(towards: np.ndarray, up: np.ndarray) -> float:
    """Return the angle [rad] of one vector over the plane perpendicular to another, any lengths."""
    return atan2(float(towards @ up), float(np.linalg.norm(cross(towards, up))))
