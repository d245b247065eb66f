"""What orbits about the Moon and about Earth have in common: a state from the body's centre."""

from __future__ import annotations

from math import asin, atan2, pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.vectors import cross, crossed, dotted, floats, inner, length, unit


class Orbit(NamedTuple):
    """A state at `t` [TDB s]: `r` [m] and `v` [m/s] from the centre of the body, ICRF axes.

    What is told of its shape is of the ellipse that it would follow about a point. `degree` is that
    of the field in which it is flown.
    """

    t: float
    r: np.ndarray
    v: np.ndarray
    degree: Degree = 2

    @property
    def mu(self) -> float:
        """Gravitational parameter [m3/s2] of the body."""
        raise NotImplementedError

    @property
    def normal(self) -> np.ndarray:
        """Unit vector of the angular momentum."""
        return unit(cross(self.r, self.v))

    @property
    def a(self) -> float:
        """Semi-major axis [m]."""
        return 1.0 / (2.0 / length(self.r) - inner(self.v, self.v) / self.mu)

    @property
    def e(self) -> float:
        """Eccentricity."""
        r, v = floats(self.r), floats(self.v)
        x, y, z = crossed(v, crossed(r, v))
        per, far = 1.0 / self.mu, 1.0 / sqrt(dotted(r, r))
        x, y, z = x * per - r[0] * far, y * per - r[1] * far, z * per - r[2] * far
        return sqrt(x * x + y * y + z * z)

    @property
    def period(self) -> float:
        """Time of a revolution [s]."""
        return 2.0 * pi * sqrt(self.a**3 / self.mu)

    def angle_off(self, place: np.ndarray) -> float:
        """Return the angle [rad] by which `place` [any length] lies out of the orbit's plane."""
        return asin(max(-1.0, min(1.0, inner(self.normal, unit(place)))))

    def angle_to(self, place: np.ndarray) -> float:
        """Return the angle [rad, 0..2 pi] still to fly in the plane until over `place`."""
        up = unit(self.r)
        ahead = cross(self.normal, up)
        return atan2(inner(place, ahead), inner(place, up)) % (2.0 * pi)


def apsides(orbit: Orbit) -> tuple[float, float]:
    """Return the radii [m] of the nearest and the farthest point of an orbit."""
    h = crossed(floats(orbit.r), floats(orbit.v))
    a = orbit.a
    e = sqrt(max(0.0, 1.0 - dotted(h, h) / (orbit.mu * a)))
    return a * (1.0 - e), a * (1.0 + e)


class EarthOrbit(Orbit):
    """An orbit about Earth."""

    __slots__ = ()

    @property
    def mu(self) -> float:
        """Earth's gravitational parameter [m3/s2]."""
        return c.MU_EARTH
