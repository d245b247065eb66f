"""A root between two places. SciPy's own would be used, did its import not take half a second."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

MOST = 200  # halvings, at the worst: far more than doubles have digits


def root(f: Callable[[float], float], low: float, high: float, tolerance: float = 0.0) -> float:
    """Return where `f` is zero between two places at which it has opposite signs.

    To `tolerance`, or to the last digits; ValueError where the signs are alike. Chandrupatla
    1997, Adv. Eng. Softw. 28, 145-149: inverse quadratic interpolation where that is safe, else
    halving.
    """
    b, a = low, high
    at_b, at_a = f(b), f(a)
    if at_a == 0.0 or at_b == 0.0:
        return a if at_a == 0.0 else b
    if (at_a > 0.0) == (at_b > 0.0):
        raise ValueError("the signs at both ends are alike: no root is known to lie between")
    c, at_c, share = a, at_a, 0.5
    for _ in range(MOST):
        x = a + share * (b - a)
        at_x = f(x)
        if (at_x > 0.0) == (at_a > 0.0):
            c, at_c = a, at_a
        else:
            c, b, at_c, at_b = b, a, at_b, at_a
        a, at_a = x, at_x
        best, at_best = (a, at_a) if abs(at_a) < abs(at_b) else (b, at_b)
        near = (4e-16 * abs(best) + tolerance / 2.0) / abs(b - a) if a != b else 1.0
        if near > 0.5 or at_best == 0.0:
            return best
        share = min(1.0 - near, max(near, _share(a, b, c, at_a, at_b, at_c)))
    return best


def _share(a: float, b: float, c: float, at_a: float, at_b: float, at_c: float) -> float:
    """Return how far from `a` to `b` to go next."""
    xi, phi = (a - b) / (c - b), (at_a - at_b) / (at_c - at_b)
    if not 1.0 - sqrt(1.0 - xi) < phi < sqrt(xi):
        return 0.5
    towards_b = at_a / (at_b - at_a) * at_c / (at_b - at_c)
    return towards_b + (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
