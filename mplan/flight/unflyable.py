"""A scenario that reads well but cannot be flown at all, and what near it can."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from math import ceil, floor

from mplan.physics.constants import HOUR

HOURS = (1, 2, 3, 5, 8)  # by which other times of flight are tried
SHORTEST, LONGEST = 40, 130  # h, as a scenario may state them


class Unflyable(ValueError):
    """`path` is the scenario key that asks for it, the text what was found and is accepted."""

    def __init__(self, path: tuple[str | int, ...], text: str) -> None:
        """Keep the key and the text."""
        super().__init__(text)
        self.path = path


def nearest(values: Iterable[float], flies: Callable[[float], object]) -> float | None:
    """Return the first of some values that flies, None where none does: for what is accepted."""
    for value in values:
        with suppress(ArithmeticError, Unflyable):
            flies(value)
            return value
    return None


def other_times(planned: float) -> Iterator[float]:
    """Yield times of flight [s] in whole hours about a planned one, the nearest first."""
    for hours in HOURS:
        for other in (floor(planned / HOUR) + hours, ceil(planned / HOUR) - hours):
            if SHORTEST <= other <= LONGEST:
                yield other * HOUR
