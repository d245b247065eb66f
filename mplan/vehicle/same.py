"""What is remembered of a very object, where its values would take long to compare."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Generic, TypeVar

T = TypeVar("T")
R = TypeVar("R")
LATELY = 8  # objects: a mission's ships, and those of the plan that it is held against


class Same(Generic[T]):
    """Equal for one and the same immutable object alone, which lives as long as the key does."""

    __slots__ = ("it",)

    def __init__(self, it: T) -> None:
        """Take the object as the key for itself."""
        self.it = it

    def __hash__(self) -> int:
        """Return where it lies in memory."""
        return id(self.it)

    def __eq__(self, other: object) -> bool:
        """Tell whether both are of one object."""
        return isinstance(other, Same) and self.it is other.it


def once(ask: Callable[[T], R]) -> Callable[[T], R]:
    """Return a question that is worked out once of each immutable object, for the last few.

    For answers that nobody changes: several ask the same, and all are handed the same.
    """

    @lru_cache(maxsize=LATELY)
    def kept(of: Same[T]) -> R:
        return ask(of.it)

    @wraps(ask)
    def asked(of: T) -> R:
        return kept(Same(of))

    return asked
