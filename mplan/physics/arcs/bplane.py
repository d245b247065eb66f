"""The plane across an incoming asymptote, in which a flyby is aimed.

S points along the incoming asymptote, T lies across it in the plane perpendicular to a given
pole, R completes the set; B runs from the body's centre to where the asymptote would pass
(Kizner 1961, Planet. Space Sci. 7, 125-131; Vallado 2013, ch. 12).
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.vectors import crossed, directed, dotted, floats, scaled


class Asymptote(NamedTuple):
    """An incoming hyperbola: unit vector `s`, speed far out `v_inf` [m/s], miss vector `b` [m]."""

    s: np.ndarray
    v_inf: float
    b: np.ndarray


def asymptote(r: np.ndarray, v: np.ndarray, mu: float) -> Asymptote:
    """Return the incoming asymptote of the hyperbola through a state.

    ValueError for a closed orbit, which has none.
    """
    place, pace = floats(r), floats(v)
    distance = sqrt(dotted(place, place))
    energy = dotted(pace, pace) / 2.0 - mu / distance
    if energy <= 0.0:
        raise ValueError("the orbit about the Moon is closed: it has no asymptote")
    h = crossed(place, pace)
    (ax, ay, az), (bx, by, bz) = crossed(pace, h), place
    pointing = ax / mu - bx / distance, ay / mu - by / distance, az / mu - bz / distance
    e2 = dotted(pointing, pointing)
    # Of the two legs of the hyperbola's cone about `pointing`, of length e; h is across it.
    lean = sqrt((e2 - 1.0) / dotted(h, h))
    (px, py, pz), (qx, qy, qz) = pointing, crossed(h, pointing)
    s = (px + qx * lean) / e2, (py + qy * lean) / e2, (pz + qz * lean) / e2
    v_inf = sqrt(2.0 * energy)
    return Asymptote(np.array(s), v_inf, np.array(scaled(crossed(s, h), 1.0 / v_inf)))


def aim_point(incoming: Asymptote, periapsis: float, normal: np.ndarray, mu: float) -> np.ndarray:
    """Return the B vector [m] that leads to `periapsis` [m] in an orbit about `normal`."""
    size = sqrt(periapsis**2 + 2.0 * mu * periapsis / incoming.v_inf**2)
    return np.array(scaled(directed(crossed(floats(incoming.s), floats(normal))), size))


def components(incoming: Asymptote, b: np.ndarray, pole: np.ndarray) -> tuple[float, float]:
    """Return B.T and B.R [m] of a miss vector."""
    s, miss = floats(incoming.s), floats(b)
    t_hat = directed(crossed(s, floats(pole)))
    return dotted(miss, t_hat), dotted(miss, crossed(s, t_hat))
