"""A turn of the plane shared between burns that change the speed anyway, for the least sum.

All burns lie on one line through the body's centre and are level there, so that their turns add
up. Turned by an angle, one that goes from speed a to b costs sqrt(a^2 + b^2 - 2 a b cos angle)
(Vallado 2013, sec. 6.4, combined changes): next to nothing at first where a and b differ much.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

PARTS = 400  # of the turn: the sum is then good to a hundredth of a m/s


def combined(before: float, after: float, turn: float | np.ndarray) -> np.ndarray:
    """Return the burn [m/s] from one level speed to another with a `turn` [rad] of the course."""
    # (a - b)^2 + 4 a b sin^2(turn / 2): exact where the turn is small, too
    return np.sqrt(
        (before - after) ** 2 + 4.0 * before * after * np.sin(np.asarray(turn) / 2.0) ** 2
    )


def share_turn(turn: float, speeds: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    """Return what each burn turns [rad] of a `turn` of either sign, for the least sum.

    `speeds` [m/s] are those before and after each burn. Costs are not convex, so all sums of
    whole parts are looked at, burn by burn (Bellman 1957).
    """
    grid = turn * np.arange(PARTS + 1) / PARTS
    totals, chosen = combined(*speeds[-1], grid), []
    for before, after in reversed(speeds[:-1]):
        own = combined(before, after, grid)
        sums = own[None, :] + _shifted(totals)
        best = sums.argmin(axis=1)
        totals = sums[np.arange(PARTS + 1), best]
        chosen.append(best)
    found, left = [], PARTS
    for best in reversed(chosen):
        part = int(best[left])
        found.append(float(grid[part]))
        left -= part
    return (*found, float(grid[left]))


def _shifted(totals: np.ndarray) -> np.ndarray:
    """Return, by what is left and what is taken, the least sum for the rest; inf beyond it."""
    left, taken = np.indices((PARTS + 1, PARTS + 1))
    rest = left - taken
    return np.where(rest >= 0, totals[np.maximum(rest, 0)], np.inf)
