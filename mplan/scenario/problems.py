"""What is wrong with a scenario: one `Problem` a line, all of them in one `ScenarioError`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing to put right: where (a file and line, or "changed value"), the key, the text."""

    place: str
    key: str
    text: str

    def __str__(self) -> str:
        """Return the problem as one line."""
        return ": ".join(filter(None, (self.place, self.key, self.text)))


class PlainError(Exception):
    """An error whose message says what to do: a notebook's cell shows that, and no traceback."""

    def _render_traceback_(self) -> list[str]:
        """Return what IPython shows."""
        return [f"{type(self).__name__}: {self}"]


class ScenarioError(PlainError):
    """A scenario that cannot be used; `problems` has every reason, str() one line for each."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Keep the problems, in the order given, each one once."""
        self.problems = tuple(dict.fromkeys(problems))
        super().__init__(self.problems)

    def __str__(self) -> str:
        """Return one line for each problem."""
        return "\n".join(map(str, self.problems))
