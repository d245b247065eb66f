"""Tanks that stand side by side: where each has its axis, and the circle round them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import pi

from mplan.vehicle import tankage
from mplan.vehicle.pieces import Placed


@dataclass(frozen=True)
class Spot:
    """Where the axis of a single tank stands: `away` [m] from the stack's, at an `angle` [rad]."""

    tank: Placed
    away: float
    angle: float


def spots(tanks: tuple[Placed, ...], outer: float | None = None) -> tuple[Spot, ...]:
    """Return where tanks that stand side by side have their axes.

    Tanks of one kind are spread between the others. They stand in a ring, with one in the
    middle where that takes less room; or along the wall of a circle of diameter `outer` [m].
    """
    ring = _spread(tanks)
    widths = [each.vessel.diameter for each in ring]
    across, middle = (outer, None) if outer else _tightest(tuple(widths))
    outside = [i for i in range(len(ring)) if i != middle]
    angles = {i: 2.0 * pi * k / len(outside) for k, i in enumerate(outside)}
    return tuple(
        Spot(each, 0.0, 0.0)
        if i == middle or len(ring) == 1
        else Spot(each, (across - widths[i]) / 2.0, angles[i])
        for i, each in enumerate(ring)
    )


def around(tanks: tuple[Placed, ...]) -> float:
    """Return the diameter of the circle [m] round tanks that stand side by side."""
    return _tightest(tuple(each.vessel.diameter for each in _spread(tanks)))[0]


@lru_cache(maxsize=256)
def _tightest(widths: tuple[float, ...]) -> tuple[float, int | None]:
    """Return the least circle [m] round tanks, and which of them stands in its middle, if any."""
    best: tuple[float, int | None] = (tankage.around(widths), None)
    for i, middle in enumerate(widths):
        rest = widths[:i] + widths[i + 1 :]
        if len(rest) > 2:
            across = max(tankage.around(rest), middle + 2.0 * max(rest))
            best = min(best, (across, i), key=lambda each: each[0])
    return best


def _spread(tanks: tuple[Placed, ...]) -> list[Placed]:
    """Return every single tank, in the order of the ring."""
    turns = [(i / each.count, each) for each in tanks for i in range(each.count)]
    return [each for _, each in sorted(turns, key=lambda pair: pair[0])]
