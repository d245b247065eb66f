"""A scenario that reads well but cannot be flown at all."""

from __future__ import annotations


class Unflyable(ValueError):
    """`path` is the scenario key that asks for it, the text what was found and is accepted."""

    def __init__(self, path: tuple[str | int, ...], text: str) -> None:
        """Keep the key and the text."""
        super().__init__(text)
        self.path = path
