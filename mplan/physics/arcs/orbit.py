"""What orbits about the Moon and about Earth have in common: a state from the body's centre."""

from __future__ import annotations

from math import asin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.vectors import cross, length, unit


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
        return 1.0 / (2.0 / length(self.r) - float(self.v @ self.v) / self.mu)

    @property
    def e(self) -> float:
        """Eccentricity."""
        h = cross(self.r, self.v)
        return length(cross(self.v, h) / self.mu - unit(self.r))

    @property
    def period(self) -> float:
        """Time of a revolution [s]."""
        return 2.0 * np.pi * sqrt(self.a**3 / self.mu)

    def angle_off(self, place: np.ndarray) -> float:
        """Return the angle [rad] by which `place` [any length] lies out of the orbit's plane."""
        return asin(max(-1.0, min(1.0, float(self.normal @ unit(place)))))

    def angle_to(self, place: np.ndarray) -> float:
        """Return the angle [rad, 0..2 pi] still to fly in the plane until over `place`."""
        ahead = cross(self.normal, unit(self.r))
        return float(np.arctan2(place @ ahead, place @ unit(self.r)) % (2.0 * np.pi))


def apsides(orbit: Orbit) -> tuple[float, float]:
    """Return the radii [m] of the nearest and the farthest point of an orbit."""
    h = cross(orbit.r, orbit.v)
    a = orbit.a
    e = sqrt(max(0.0, 1.0 - float(h @ h) / (orbit.mu * a)))
    return a * (1.0 - e), a * (1.0 + e)


class EarthOrbit(Orbit):
    """An orbit about Earth."""

    __slots__ = ()

    @property
    def mu(self) -> float:
        """Earth's gravitational parameter [m3/s2]."""
        return c.MU_EARTH
