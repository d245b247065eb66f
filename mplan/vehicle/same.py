"""What is remembered of a very object, where its values would take long to compare."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import wraps
from threading import Lock
from typing import Any, Generic, TypeVar, cast

T = TypeVar("T")
R = TypeVar("R")
F = TypeVar("F", bound=Callable[..., Any])
Kept = dict[tuple[Hashable, ...], tuple[Any, Any]]  # by place in memory: the object, the answer
LATELY = 8  # objects: a mission's ships, and those of the plan that it is held against

_memories: list[Kept] = []


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


def remembered(most: int) -> Callable[[F], F]:
    """Return what makes a question be worked out once, of its first argument as an object.

    The others go by their values. Of the last `most` questions that were new, for answers that
    nobody changes. Asked ten times as often as `Same` is used, and in a third of its time.
    """

    def remembering(ask: F) -> F:
        kept: Kept = {}  # while the object is in it, no other has its place in memory
        _memories.append(kept)
        making = Lock()

        @wraps(ask)
        def asked(of: object, *values: Hashable) -> Any:  # noqa: ANN401 (what is asked)
            key = (id(of), *values)
            found = kept.get(key)
            if found is not None:
                return found[1]
            answer = ask(of, *values)
            with making:
                if len(kept) >= most:
                    kept.pop(next(iter(kept), ()), None)  # another thread may empty it
                kept[key] = (of, answer)
            return answer

        return cast(F, asked)

    return remembering


def forget() -> None:
    """Empty all that is remembered: who flies many flights has no use for those that are told."""
    for each in _memories:
        each.clear()


def once(ask: Callable[[T], R]) -> Callable[[T], R]:
    """Return a question that is worked out once of each immutable object, for the last few.

    For answers that nobody changes: several ask the same, and all are handed the same.
    """
    return remembered(LATELY)(ask)
