"""How far an open answer is from being none, and how long a gap between two looks may then be.

What runs out is counted one by one: the velocity of the way that has most of it, and of the way
that is home soonest the time in suits, supplies and stored energy. Nothing falls to zero and comes
back in no time: from the rates between looks follows how long it can be gone between two of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import inf
from typing import NamedTuple

from mplan.contingencies.ways_out.way_out import DOCKED, WayOut

FASTER = 2.0  # times the rates seen: what may go on between two looks (our choice)


class Spare(NamedTuple):
    """What is left before the last way closes; inf where that is not what limits.

    `velocity` [m/s] after its tightest burn, of the way that has most; of the way that is home
    soonest time in `suits` [s], `supplies` [d] and `energy`, a share. `ways` are those open.
    """

    velocity: float = inf
    suits: float = inf
    supplies: float = inf
    energy: float = inf
    ways: frozenset[str] = frozenset()

    @property
    def amounts(self) -> tuple[float, ...]:
        """What may run out."""
        return self[:4]


def spare(ways: Iterable[WayOut], best: WayOut, suits: float = inf) -> Spare:
    """Return what is left of `ways`, some open, and of the `best` at its end; of `suits` [s].

    A way that ends docked goes on with the ship's; of those the best alone is known to its end.
    """
    good = [way for way in ways if not way.closed]
    whole = [best, *(way for way in good if way.ends != DOCKED)]
    left = best.left
    return Spare(
        max(inf if way.margin is None else way.margin for way in whole),
        suits,
        inf if left is None or left.days is None else left.days,
        inf if left is None or left.energy is None else left.energy,
        frozenset(way.name for way in good),
    )


class TimedSpare(NamedTuple):
    """What a look `elapsed` [s since lift-off] finds left after one failure; None where closed."""

    elapsed: float
    left: Spare | None


def longest_gap(looks: Sequence[TimedSpare], i: int) -> float:
    """Return how long [s] a gap between the open looks `i` and `i + 1` may be.

    All of the step where no way is open at both. Else what the step leaves once the nearest of the
    quantities has fallen to zero and come back, at `FASTER` times the greatest rate of this step
    and those next to it. Zero too where one of both is not open: there an edge is looked for.
    """
    one, then = looks[i], looks[i + 1]
    if one.left is None or then.left is None:
        return 0.0
    step = then.elapsed - one.elapsed
    if not one.left.ways & then.left.ways:
        return step
    near = looks[max(0, i - 1) : i + 3]
    rates = _greatest(near)
    have = (a + b for a, b in zip(one.left.amounts, then.left.amounts, strict=True))
    hidden = (step - x / (FASTER * y) for x, y in zip(have, rates, strict=True) if y)
    return max([0.0, *hidden])


def _greatest(near: Sequence[TimedSpare]) -> list[float]:
    """Return the greatest rate of each quantity between looks next to one another [1/s]."""
    found = [0.0] * len(Spare().amounts)
    for one, then in pairwise(near):
        if one.left is None or then.left is None:
            continue
        for i, (a, b) in enumerate(zip(one.left.amounts, then.left.amounts, strict=True)):
            if a < inf and b < inf:
                found[i] = max(found[i], abs(b - a) / (then.elapsed - one.elapsed))
    return found
