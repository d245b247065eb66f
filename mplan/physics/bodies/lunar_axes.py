"""Axes of a place on the Moon and an orbit's plane, in which descent and ascent are flown.

`z` is up, `x` ahead along the orbit, `y` across it, on the side of the orbit's normal. They may
turn with the Moon, at its mean rate about its pole.
"""

from __future__ import annotations

from math import radians
from typing import NamedTuple

import numpy as np

from mplan.physics.bodies.selenography import lunar_pole
from mplan.physics.burns.linear_tangent import LunarState, Spin
from mplan.physics.constants import DAY
from mplan.physics.vectors import cross, unit

RATE = radians(13.17635815) / DAY  # rad/s, mean rotation, IAU WGCCRE report 2009


class Axes(NamedTuple):
    """`matrix` (3, 3) from ICRF axes to these at `t` [TDB s], and their `spin` [rad/s]."""

    t: float
    matrix: np.ndarray
    spin: Spin

    def turning(self, r: np.ndarray, v: np.ndarray) -> LunarState:
        """Return a state [m, m/s] from the Moon's centre at `t`, as these axes have it."""
        place, velocity = self.matrix @ r, self.matrix @ v
        return (*place.tolist(), *(velocity - cross(np.array(self.spin), place)).tolist())

    def still(self, r: np.ndarray, v: np.ndarray) -> LunarState:
        """Return a state in axes that lie like these but do not turn."""
        return (*(self.matrix @ r).tolist(), *(self.matrix @ v).tolist())

    def icrf(self, state: LunarState) -> tuple[np.ndarray, np.ndarray]:
        """Return position [m] and velocity [m/s] in ICRF axes of a state in still ones."""
        return np.array(state[:3]) @ self.matrix, np.array(state[3:]) @ self.matrix

    def standing(self, r: np.ndarray) -> LunarState:
        """Return the state of what stands on the Moon at `r` [m], in axes that do not turn."""
        place = self.matrix @ r
        return (*place.tolist(), *cross(np.array(self.spin), place).tolist())


def site_axes(place: np.ndarray, normal: np.ndarray, t: float) -> Axes:
    """Return the axes of `place` (3,) at `t` [TDB s]: z through it, x along an orbit's way there.

    `normal` (3,) is the orbit's, of length one; the plane of x and z is the one through the place
    that is least turned against the orbit's.
    """
    up = unit(place)
    return _axes(unit(cross(normal, up)), up, t)


def plane_axes(place: np.ndarray, normal: np.ndarray, t: float) -> Axes:
    """Return axes with x and z in the orbit's own plane, z at the point of it next to `place`."""
    ahead = unit(cross(normal, place))
    return _axes(ahead, cross(ahead, normal), t)


def _axes(ahead: np.ndarray, up: np.ndarray, t: float) -> Axes:
    matrix = np.array([ahead, cross(up, ahead), up])
    return Axes(t, matrix, tuple((RATE * matrix @ lunar_pole(t)).tolist()))
