"""The plane across an incoming asymptote, in which a flyby is aimed.

S points along the incoming asymptote, T lies across it in the plane perpendicular to a given
pole, R completes the set; B runs from the body's centre to where the asymptote would pass
(Kizner 1961, Planet. Space Sci. 7, 125-131; Vallado 2013, ch. 12).
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.vectors import cross, length, unit


class Asymptote(NamedTuple):
    """An incoming hyperbola: unit vector `s`, speed far out `v_inf` [m/s], miss vector `b` [m]."""

    s: np.ndarray
    v_inf: float
    b: np.ndarray


def asymptote(r: np.ndarray, v: np.ndarray, mu: float) -> Asymptote:
    """Return the incoming asymptote of the hyperbola through a state.

    ValueError for a closed orbit, which has none.
    """
    distance = length(r)
    energy = float(v @ v) / 2.0 - mu / distance
    if energy <= 0.0:
        raise ValueError("the orbit about the Moon is closed: it has no asymptote")
    h = cross(r, v)
    pointing = cross(v, h) / mu - r / distance
    e2 = float(pointing @ pointing)
    # Of the two legs of the hyperbola's cone about `pointing`, of length e; h is across it.
    s = (pointing + cross(h, pointing) * sqrt((e2 - 1.0) / (h @ h))) / e2
    v_inf = sqrt(2.0 * energy)
    return Asymptote(s, v_inf, cross(s, h) / v_inf)


def aim_point(incoming: Asymptote, periapsis: float, normal: np.ndarray, mu: float) -> np.ndarray:
    """Return the B vector [m] that leads to `periapsis` [m] in an orbit about `normal`."""
    size = sqrt(periapsis**2 + 2.0 * mu * periapsis / incoming.v_inf**2)
    return size * unit(cross(incoming.s, normal))


def components(incoming: Asymptote, b: np.ndarray, pole: np.ndarray) -> tuple[float, float]:
    """Return B.T and B.R [m] of a miss vector."""
    t_hat = unit(cross(incoming.s, pole))
    return float(b @ t_hat), float(b @ cross(incoming.s, t_hat))
