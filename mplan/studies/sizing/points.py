"""Points of a search: what was asked, what it came to, and how that changes around it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

FELT = 1e-5  # of a room, that the whole range of an unknown changes at least where it is felt
NEARER = 1e-4  # of what lies beyond the limits: being nearer by less is no better

Vector = np.ndarray
Slopes = Mapping[str, Vector]


@dataclass(frozen=True)
class Answer:
    """A point that was asked for: its `value`, the rooms by name, `whole` that they are read off.

    `good` says whether it is accepted: no room is negative, and nothing else speaks against it.
    """

    x: Vector
    value: float
    rooms: Mapping[str, float]
    good: bool
    whole: object = None
    rough: frozenset[str] = frozenset()  # rooms that are told in few digits

    @property
    def roughly(self) -> bool:
        """Whether a room that is told in few digits is negative: its slopes want longer steps."""
        return any(self.rooms[name] < 0.0 for name in self.rough)

    @property
    def beyond(self) -> float:
        """How far it lies beyond its limits, all of them together."""
        return sum(-room for room in self.rooms.values() if room < 0.0)


@dataclass(frozen=True)
class Local:
    """An answer with the slopes of its value and of its rooms."""

    answer: Answer
    value: Vector
    rooms: Slopes


def felt(slopes: Vector) -> bool:
    """Tell whether any unknown moves a room."""
    return bool(np.max(np.abs(slopes)) > FELT)


def better(after: Answer, before: Answer) -> bool:
    """Tell whether an answer is better: within the limits and less, or less far beyond them."""
    if before.good:
        return after.good and after.value < before.value
    return after.good or after.beyond < before.beyond * (1.0 - NEARER)
