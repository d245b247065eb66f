"""Low orbits about the Moon, moon-centred, ICRF axes.

Kepler's motion with the secular turn of node and periapsis by the Moon's oblateness. Neglected:
the mass concentrations, which make a low orbit breathe by some km a day, C22 and Earth's pull.
"""

from __future__ import annotations

from math import acos, asin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import selenography
from mplan.physics.twobody import circular_speed, kepler
from mplan.physics.vectors import cross, turned, unit


class LunarOrbit(NamedTuple):
    """A state at `t` [TDB s]: `r` [m] and `v` [m/s] from the Moon's centre."""

    t: float
    r: np.ndarray
    v: np.ndarray

    @property
    def normal(self) -> np.ndarray:
        """Unit vector of the angular momentum."""
        return unit(cross(self.r, self.v))

    @property
    def a(self) -> float:
        """Semi-major axis [m]."""
        return 1.0 / (2.0 / float(np.linalg.norm(self.r)) - float(self.v @ self.v) / c.MU_MOON)

    @property
    def period(self) -> float:
        """Time of a revolution [s]."""
        return 2.0 * np.pi * sqrt(self.a**3 / c.MU_MOON)

    @property
    def inclination(self) -> float:
        """Angle [rad] of the orbit's normal to the Moon's pole."""
        return acos(max(-1.0, min(1.0, float(self.normal @ selenography.lunar_pole(self.t)))))

    def angle_off(self, place: np.ndarray) -> float:
        """Return the angle [rad] by which `place` [any length] lies out of the orbit's plane."""
        return asin(max(-1.0, min(1.0, float(self.normal @ unit(place)))))

    def angle_to(self, place: np.ndarray) -> float:
        """Return the angle [rad, 0..2 pi] still to fly in the plane until over `place`."""
        ahead = cross(self.normal, unit(self.r))
        return float(np.arctan2(place @ ahead, place @ unit(self.r)) % (2.0 * np.pi))


def node_rate(a: float, e: float, inclination: float) -> float:
    """Return the turn of the node [rad/s] by J2 (Vallado 2013, sec. 9.6)."""
    return -_j2(a, e) * np.cos(inclination)


def _j2(a: float, e: float) -> float:
    """Return 1.5 n J2 (R / p)^2 [rad/s]."""
    p = a * (1.0 - e * e)
    return 1.5 * sqrt(c.MU_MOON / a**3) * c.J2_MOON * (c.R_MOON_FIELD / p) ** 2


def coast(orbit: LunarOrbit, duration: float) -> LunarOrbit:
    """Return the orbit `duration` [s] later, with J2's secular turns of node and apsides."""
    r, v = kepler(orbit.r, orbit.v, duration, c.MU_MOON)
    e = _eccentricity(orbit)
    k, sine = _j2(orbit.a, e), np.sin(orbit.inclination)
    along = k * (2.0 - 2.5 * sine**2 + sqrt(1.0 - e * e) * (1.0 - 1.5 * sine**2))
    across = node_rate(orbit.a, e, orbit.inclination)
    pole = selenography.lunar_pole(orbit.t)

    def drifted(x: np.ndarray) -> np.ndarray:
        return turned(turned(x, orbit.normal, along * duration), pole, across * duration)

    return LunarOrbit(orbit.t + duration, drifted(r), drifted(v))


def _eccentricity(orbit: LunarOrbit) -> float:
    h = cross(orbit.r, orbit.v)
    return float(np.linalg.norm(cross(orbit.v, h) / c.MU_MOON - unit(orbit.r)))


def with_speed(orbit: LunarOrbit, speed: float) -> LunarOrbit:
    """Return the orbit after a burn along the velocity that leaves `speed` [m/s]."""
    return LunarOrbit(orbit.t, orbit.r, speed * unit(orbit.v))


def circular(orbit: LunarOrbit) -> LunarOrbit:
    """Return the circle through `orbit.r` in the same plane and sense."""
    ahead = cross(orbit.normal, unit(orbit.r))
    radius = float(np.linalg.norm(orbit.r))
    return LunarOrbit(orbit.t, orbit.r, circular_speed(radius, c.MU_MOON) * ahead)


def until_over(orbit: LunarOrbit, place: np.ndarray, *, lead: float = 0.0) -> float:
    """Return the time [s] until a circular orbit stands `lead` [rad] before being over `place`."""
    rate = sqrt(c.MU_MOON / orbit.a**3)
    return ((orbit.angle_to(place) - lead) % (2.0 * np.pi)) / rate
