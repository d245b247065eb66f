"""What gaining speed costs while part of the thrust holds the height, short of orbital speed."""

from __future__ import annotations

from math import sqrt

PIECES = 60  # of like speed; 0.1 % of the velocity while the weight is below 95 % of the thrust


def velocity(slow: float, fast: float, acceleration: float, radius: float, mu: float) -> float:
    """Return the delta-v [m/s] of level flight from `slow` to `fast` [m/s] at `radius` [m].

    The thrust acceleration [m/s2] is held; what the curve of the path does not carry of the
    weight, w = g (1 - v2/vc2), takes a part of it: integral of dv / sqrt(1 - (w/a)2), by the
    midpoint rule. ArithmeticError where the thrust does not carry the weight at the slow end.
    """
    gravity, round_ = mu / radius**2, mu / radius
    heaviest = gravity * (1.0 - slow * slow / round_)
    if heaviest >= acceleration:
        raise ArithmeticError(
            f"a thrust acceleration of {acceleration:.2f} m/s2 does not carry the weight,"
            f" {heaviest:.2f} m/s2"
        )
    size, spent = (fast - slow) / PIECES, 0.0
    for i in range(PIECES):
        v = slow + (i + 0.5) * size
        share = max(0.0, gravity * (1.0 - v * v / round_)) / acceleration
        spent += size / sqrt(1.0 - share * share)
    return spent
