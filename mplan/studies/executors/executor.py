"""What every executor promises, and what is said where it cannot keep it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, Protocol, TypeVar

from mplan.scenario import Problem, ScenarioError

Answer = TypeVar("Answer")
Question = Sequence[Any]
LISTEN = 0.2  # s, between looks at whether to stop, while no answer comes
TRIES = 3  # of a question whose process ends with it: asked, and asked again twice


def never() -> bool:
    """Return whether to stop, where nobody asks for it."""
    return False


class Executor(Protocol):
    """Asks many questions of one kind; the answers do not depend on which executor it is."""

    def answers(
        self,
        ask: Callable[..., Answer],
        questions: Iterable[Question],
        stopped: Callable[[], bool] = never,
    ) -> Iterator[tuple[int, Answer]]:
        """Yield the index of each question with its answer, as they come; `ask(*question)` is it.

        `ask` is a function of a module, and what it is given and returns can be pickled.
        Questions are taken only as they are asked, a few ahead of what is answered. What `ask`
        raises is raised here. `stopped` is asked between answers, and while none comes each
        `LISTEN` seconds; once it says so, or where the caller leaves early, nobody waits for what
        is being worked on, and the rest is dropped. Raises `WorkerLost` for a question that ends
        whoever works on it.
        """
        ...


class WorkerLost(ScenarioError):
    """A question whose process was ended each time that it was asked; `index` tells which."""

    def __init__(self, index: int) -> None:
        """Keep the question's index, counted from 0."""
        self.index = index
        text = f"its process was ended {TRIES} times, by the system or for want of memory; "
        super().__init__([Problem("processes", f"case {index + 1}", f"{text}nothing else failed")])

    def __reduce__(self) -> tuple[type[WorkerLost], tuple[int]]:
        """Return how it is made anew in another process."""
        return WorkerLost, (self.index,)
