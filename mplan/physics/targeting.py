"""Newton's method on flown arcs: few unknowns, few targets, derivatives by small differences."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

Miss = Callable[[np.ndarray], np.ndarray]


SHRINKS = 0.2  # a miss that shrinks by this much keeps its slopes, brought up to date
LEAST = 1e-3  # of the limits: how near to the smallest unknowns is near enough


class NoArc(ArithmeticError):
    """No arc was found that meets the targets; the text says which and how near it came."""


class Scaling(NamedTuple):
    """How a targeting problem is scaled."""

    step: np.ndarray  # of each unknown, for the differences
    limit: np.ndarray  # greatest change of each unknown in one correction
    tolerance: np.ndarray  # of each target's miss


def solve(miss: Miss, start: np.ndarray, aim: Scaling, *, corrections: int = 25) -> np.ndarray:
    """Return the unknowns that bring `miss` within its tolerances.

    With more unknowns than targets, those that are smallest together, in units of `aim.limit`:
    of many burns that would do, the least. Raises NoArc when `corrections` do not suffice.
    """
    x = np.array(start, dtype=float)
    settled = x.size == aim.tolerance.size  # nothing to choose between
    last: np.ndarray | None = None
    slope = step = along = taken = np.zeros(0)
    for _ in range(corrections):
        off = miss(x) / aim.tolerance
        met = np.all(np.abs(off) <= 1.0)
        if met and settled:
            return x
        if last is not None and np.max(np.abs(off)) < SHRINKS * np.max(np.abs(last)):
            # Broyden 1965: what the last step showed, with no new shots
            slope = slope + np.outer(off - last - slope @ step, step) / (step @ step)
        else:
            slope = slopes(miss, x, off * aim.tolerance, aim.step) * aim.limit
            slope /= aim.tolerance[:, None]
        back, onward = _ways(slope, off, x / aim.limit)
        if met and np.max(np.abs(back + onward)) < LEAST:
            return x
        share = 1.0 if last is None else _share(along, onward, taken)
        whole = 1.0 / max(1.0, np.max(np.abs(back + share * onward)))
        along, taken = onward, whole * share * onward
        step = whole * back + taken
        x, last = x + step * aim.limit, off
    missed = off * aim.tolerance
    raise NoArc(f"no arc within {corrections} corrections; the residual miss is {missed}")


def slopes(miss: Miss, x: np.ndarray, here: np.ndarray, step: np.ndarray) -> np.ndarray:
    """Return d(miss)/dx by forward differences, shape (targets, unknowns)."""
    columns = []
    for i, size in enumerate(step):
        beside = x.copy()
        beside[i] += size
        columns.append((miss(beside) - here) / size)
    return np.array(columns).T


def _ways(slope: np.ndarray, off: np.ndarray, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the least step to where nothing is missed, and from there the step to the least x."""
    back = np.linalg.lstsq(slope, -off, rcond=None)[0]
    there = np.linalg.lstsq(slope, slope @ x - off, rcond=None)[0]
    return back, there - x - back


def _share(before: np.ndarray, now: np.ndarray, taken: np.ndarray) -> float:
    """Return how much of the way to the least x to take, from what the last bit of it did.

    Where the arcs that meet the targets lie on a strong bend, the whole way leads too far and
    from side to side (the step length of Barzilai & Borwein 1988, IMA J. Numer. Anal. 8, 141).
    """
    shrunk = (before - now) @ taken
    return min(1.0, max(0.1, taken @ taken / shrunk)) if shrunk > 0.0 else 1.0
