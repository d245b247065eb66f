"""Newton's method on flown arcs: few unknowns, few targets, derivatives by small differences."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

Miss = Callable[[np.ndarray], np.ndarray]


class NoArc(ArithmeticError):
    """No arc was found that meets the targets; the text says which and how near it came."""


class Aim(NamedTuple):
    """How a targeting problem is scaled."""

    step: np.ndarray  # of each unknown, for the differences
    limit: np.ndarray  # greatest change of each unknown in one correction
    tolerance: np.ndarray  # of each target's miss


def solve(miss: Miss, start: np.ndarray, aim: Aim, *, corrections: int = 25) -> np.ndarray:
    """Return the unknowns that bring `miss` within its tolerances.

    With more unknowns than targets the smallest correction is taken each time, measured in
    units of `aim.limit`. Raises NoArc when `corrections` do not suffice.
    """
    x = np.array(start, dtype=float)
    for _ in range(corrections):
        off = miss(x)
        if np.all(np.abs(off) <= aim.tolerance):
            return x
        x = x - _correction(slopes(miss, x, off, aim.step), off, aim)
    raise NoArc(f"no arc within {corrections} corrections; the last was off by {off}")


def slopes(miss: Miss, x: np.ndarray, here: np.ndarray, step: np.ndarray) -> np.ndarray:
    """Return d(miss)/dx by forward differences, shape (targets, unknowns)."""
    columns = []
    for i, size in enumerate(step):
        beside = x.copy()
        beside[i] += size
        columns.append((miss(beside) - here) / size)
    return np.array(columns).T


def _correction(slope: np.ndarray, off: np.ndarray, aim: Aim) -> np.ndarray:
    """Return the least step, in units of the limits, that cancels `off`, cut to the limits."""
    scaled = slope * aim.limit / aim.tolerance[:, None]
    step = np.linalg.lstsq(scaled, off / aim.tolerance, rcond=None)[0]
    worst = np.max(np.abs(step))
    return step * aim.limit / max(1.0, worst)
