"""A record with some of its values changed, quickly: a flight makes hundreds of states."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

R = TypeVar("R")

if TYPE_CHECKING:  # what is checked of the one holds for the other: names and types of fields
    from dataclasses import replace as evolved
else:

    def evolved(record: R, /, **changes: object) -> R:
        """Return a frozen dataclass with other values, as `dataclasses.replace`, only sooner.

        For a record whose fields are all it has: nothing is worked out as it is made, nor kept in
        it later, and none of the new values is an array, which would have to be made read-only.
        TypeError for a value that it does not have.
        """
        values, made = vars(record), object.__new__(type(record))
        new = vars(made)
        new.update(values)
        new.update(changes)
        if len(new) != len(values):
            wrong = ", ".join(sorted(changes.keys() - values.keys()))
            raise TypeError(f"{type(record).__name__} has no {wrong}")
        return made
