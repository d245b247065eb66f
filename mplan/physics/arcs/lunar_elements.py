"""An orbit about the Moon from its elements over the Moon's equator."""

from __future__ import annotations

from math import cos, sin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.bodies import selenography
from mplan.physics.constants import MU_MOON


class LunarElements(NamedTuple):
    """Radii [m] of `perilune` and `apolune`, and angles [rad] in Moon-fixed axes of one moment.

    `node` is the longitude of the ascending node, east positive, `anomaly` the true one.
    """

    perilune: float
    apolune: float
    inclination: float
    node: float
    argument: float
    anomaly: float


def orbit_of_elements(elements: LunarElements, t: float) -> LunarOrbit:
    """Return the orbit of elements at `t` [TDB s] (Vallado 2013, alg. 10); axes do not turn."""
    low, high, i, node, argument, anomaly = elements
    e = (high - low) / (high + low)
    p = low * (1.0 + e)
    u = argument + anomaly
    ahead = np.array([-sin(node) * cos(i), cos(node) * cos(i), sin(i)])
    level = np.array([cos(node), sin(node), 0.0])
    out, along = cos(u) * level + sin(u) * ahead, -sin(u) * level + cos(u) * ahead
    r = p / (1.0 + e * cos(anomaly)) * out
    v = sqrt(MU_MOON / p) * (e * sin(anomaly) * out + (1.0 + e * cos(anomaly)) * along)
    fixed = selenography.moon_fixed_axes(t)
    return LunarOrbit(t, fixed.T @ r, fixed.T @ v)
