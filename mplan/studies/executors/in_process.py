"""This process works on one question after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from mplan.studies.executors.executor import Answer, Question, never


@dataclass(frozen=True)
class InProcess:
    """Answers in this process, in the order of the questions."""

    def answers(
        self,
        ask: Callable[..., Answer],
        questions: Iterable[Question],
        stopped: Callable[[], bool] = never,
    ) -> Iterator[tuple[int, Answer]]:
        """Yield the answers; see `Executor`. One that is being worked on is waited for."""
        for index, question in enumerate(questions):
            yield index, ask(*question)
            if stopped():
                return
