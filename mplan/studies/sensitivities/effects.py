"""What one unit more does to a figure of a mission, from the figures of flights on both sides."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

TOLD = 2.0  # times its spread, that a slope is at least
EXACT = 1e-9  # of any unit: rounding of the same numbers
UP, DOWN, BOTH = "one-sided, more", "one-sided, less", "central"
SIDES = {BOTH: (1.0, -1.0), UP: (1.0,), DOWN: (-1.0,)}


@dataclass(frozen=True)
class Effect:
    """What one unit more does to a figure: `slope`, and by what it may be off, a unit.

    `more` and `less` are what one unit either way does, each by its own side; None where that side
    is not flown. All are in the unit of the figure: [m/s] for a margin.
    """

    slope: float
    spread: float
    more: float | None
    less: float | None

    @property
    def lost(self) -> bool:
        """Whether nothing can be said: the spread is more than half of the slope."""
        return self.spread > 0.0 and TOLD * self.spread > abs(self.slope)

    @property
    def value(self) -> float | None:
        """The slope, where it can be told."""
        return None if self.lost else self.slope


def method(amounts: Collection[float], step: float) -> str:
    """Return which differences can be taken; "" where neither side has both of its flights."""
    up, down = (all(x in amounts for x in (s, 2.0 * s)) for s in (step, -step))
    return BOTH if up and down else UP if up else DOWN if down else ""


def effect(before: float, after: Mapping[float, float], step: float, noise: float) -> Effect:
    """Return the effect on a figure that is `before` without a change and `after` by amount.

    `noise` is what it is off by from flight to flight, in its unit.
    """

    def side(amount: float) -> float | None:
        return None if amount not in after else (after[amount] - before) / amount

    used = SIDES[method(after, step)]
    near, far = (
        sum(side(s * times * step) or 0.0 for s in used) / len(used) for times in (1.0, 2.0)
    )
    felt = max(abs(x - before) for x in after.values()) > EXACT
    spread = max(abs(far - near), noise / step) if felt else 0.0
    more, less = side(step), side(-step)
    return Effect(near if felt else 0.0, spread, more, None if less is None else -less)
