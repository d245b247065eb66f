"""A key for what is remembered of a very object, where its values would take long to compare."""

from __future__ import annotations

from typing import Generic, TypeVar

T = TypeVar("T")


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
