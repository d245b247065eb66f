"""How the worth of a point bends, learnt from the slopes met on the way, and a step that knows it.

Where fewer limits hold the least than there are unknowns, linear programs run from corner to
corner of their region around it. The curvature of what is least, less the limits at their prices
(the Lagrangian), is learnt by symmetric rank-one updates (J. Nocedal, S. J. Wright, Numerical
Optimization, 2nd ed., sec. 6.2, from memory); SciPy's SLSQP then finds the step within the same
linear limits.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from scipy.optimize import LinearConstraint, minimize

Vector = np.ndarray
LITTLE = 1e-8  # of the lengths of both, below which an update tells nothing


def update(
    curvature: Vector,
    step: Vector,
    before: tuple[Vector, Mapping[str, Vector]],
    after: tuple[Vector, Mapping[str, Vector]],
    prices: Mapping[str, float],
) -> Vector:
    """Return the curvature with what a step has met: slopes of value and rooms on both sides."""
    change = _lagrangian(after, prices) - _lagrangian(before, prices)
    left = change - curvature @ step
    along = float(left @ step)
    if abs(along) <= LITTLE * float(np.linalg.norm(left) * np.linalg.norm(step)):
        return curvature
    return curvature + np.outer(left, left) / along


def _lagrangian(slopes: tuple[Vector, Mapping[str, Vector]], prices: Mapping[str, float]) -> Vector:
    value, rooms = slopes
    held = (price * rooms[name] for name, price in prices.items() if name in rooms)
    return value - sum(held, np.zeros(len(value)))


def bent(
    slope: Vector,
    curvature: Vector,
    rows: Vector,
    most: Vector,
    bounds: list[tuple[float, float]],
    start: Vector,
) -> Vector:
    """Return the step of least value, with `rows @ step <= most`; `start` is one within these.

    Values are of order one: slope and curvature are shares of what is least.
    """
    scale = float(np.max(np.abs(slope))) or 1.0
    found = minimize(
        lambda d: float(slope @ d + 0.5 * d @ curvature @ d) / scale,
        start,
        jac=lambda d: (slope + curvature @ d) / scale,
        bounds=bounds,
        constraints=[LinearConstraint(rows, -np.inf, most)] if len(rows) else [],
        method="SLSQP",
        options={"ftol": 1e-10, "maxiter": 100},
    )
    within = bool(np.all(rows @ found.x <= most + 1e-7)) if len(rows) else True
    return np.asarray(found.x) if within and np.all(np.isfinite(found.x)) else start
