"""A root between two places, or the highest one.

SciPy's own would be used, did its import not take half a second.
"""

from __future__ import annotations

from collections.abc import Callable
from math import copysign, inf, sqrt

GOLDEN = (3.0 - sqrt(5.0)) / 2.0  # the shorter part of a golden cut
# As many times as near as the highest place is wanted: three places further apart tell a parabola
# that is off by up to three times that where the curve is lopsided (measured).
WIDE = 100.0
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


def highest(f: Callable[[float], float], bracket: tuple[float, float, float], near: float) -> float:
    """Return where `f` is greatest, to within 2 `near`: between two places at which it is less.

    `bracket` holds these and the place between. Brent 1973, Algorithms for Minimization without
    Derivatives, ch. 5: parabolas through the best three places as long as their steps shrink, else
    a golden cut. A parabola that leads on by less than half of `near` ends it, without a look on
    either side, unless the places lie `WIDE` apart.
    """
    low, x, high = bracket
    at = f(x)
    (w, at_w), (v, at_v) = sorted(((p, f(p)) for p in (low, high)), key=lambda each: -each[1])
    step = before = high - low  # the last step, and the one before it
    while abs(x - (low + high) / 2.0) > 2.0 * near - (high - low) / 2.0:
        middle, limit = (low + high) / 2.0, abs(before) / 2.0
        before, step = step, _to_vertex(x, w, v, at, at_w, at_v)
        if abs(step) < near / 2.0 and high - low < WIDE * near:
            return x
        if not low < x + step < high or abs(step) >= limit:
            before = (high if x < middle else low) - x
            step = GOLDEN * before
        elif min(x + step - low, high - x - step) < 2.0 * near:
            step = copysign(near, middle - x)
        now = x + copysign(max(abs(step), near), step)
        at_now = f(now)
        if at_now >= at:
            low, high = (x, high) if now >= x else (low, x)
            v, at_v, w, at_w, x, at = w, at_w, x, at, now, at_now
            continue
        low, high = (low, now) if now >= x else (now, high)
        if at_now >= at_w or w == x:
            v, at_v, w, at_w = w, at_w, now, at_now
        elif at_now >= at_v or v in (x, w):
            v, at_v = now, at_now
    return x


def _to_vertex(x: float, w: float, v: float, at: float, at_w: float, at_v: float) -> float:
    """Return how far from `x` the vertex of the parabola through three places lies."""
    r, q = (x - w) * (at - at_v), (x - v) * (at - at_w)
    bend = 2.0 * (q - r)
    return inf if bend == 0.0 else -((x - v) * q - (x - w) * r) / bend
