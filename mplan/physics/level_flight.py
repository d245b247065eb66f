"""Powered flight over an airless ground, in closed form: what holding height costs.

While the engine takes speed off (or puts it on) in level flight, part of its thrust carries the
weight that the curve of the path does not: g (1 - (v / v_c)^2). With the thrust acceleration a
held constant, the rest is sqrt(a^2 - w^2), so

    delta-v = integral of dv / sqrt(1 - (w(v) / a)^2).

Own derivation from the equations of level flight over a sphere; compare Bennett, NASA TN D-6846.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)


class LevelBurn(NamedTuple):
    """Velocity spent [m/s] and ground covered [m] in changing speed over the ground."""

    delta_v: float
    distance: float


def change_speed(
    slow: float, fast: float, acceleration: float, radius: float, mu: float
) -> LevelBurn:
    """Return what level flight between two speeds [m/s] costs at `acceleration` [m/s2].

    ArithmeticError where the thrust does not carry the weight at the slow end.
    """
    gravity = mu / radius**2
    v = (fast + slow) / 2.0 + (fast - slow) / 2.0 * _NODES
    weight = np.maximum(gravity * (1.0 - v**2 * radius / mu), 0.0)
    heaviest = gravity * (1.0 - slow**2 * radius / mu)
    if heaviest >= acceleration:
        raise ArithmeticError(
            f"a thrust acceleration of {acceleration:.2f} m/s2 does not carry the weight,"
            f" {heaviest:.2f} m/s2"
        )
    share = np.sqrt(1.0 - (weight / acceleration) ** 2)
    half = (fast - slow) / 2.0
    return LevelBurn(
        float(half * np.sum(_WEIGHTS / share)),
        float(half * np.sum(_WEIGHTS * v / (acceleration * share))),
    )
