"""Processes beside this one, a question each, silent when Ctrl-C stops who started them."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, NamedTuple

from mplan.studies.executors import background, fork_server
from mplan.studies.executors.executor import LISTEN, TRIES, Answer, Question, WorkerLost, never


@dataclass(frozen=True)
class LocalProcesses:
    """Answers from `workers` processes of this machine (None: one a core)."""

    workers: int | None = None

    def answers(
        self,
        ask: Callable[..., Answer],
        questions: Iterable[Question],
        stopped: Callable[[], bool] = never,
    ) -> Iterator[tuple[int, Answer]]:
        """Yield the answers; see `Executor`. A process that is ended takes no other with it."""
        numbered = enumerate(questions)
        lanes = [_Lane(ask) for _ in range(self.workers or cores())]
        try:
            _refill(lanes, numbered)
            while busy := [lane for lane in lanes if lane.asked]:
                wait([lane.asked.future for lane in busy if lane.asked], LISTEN, FIRST_COMPLETED)
                if stopped():
                    return
                answered = [found for lane in busy for found in lane.answered()]
                _refill(lanes, numbered)  # nobody waits while the caller looks at an answer
                for each in answered:
                    yield each
                    if stopped():
                        return
                _refuse_lost(busy)
        finally:
            for lane in lanes:
                lane.close()


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class _Asked(NamedTuple):
    number: int  # counted from 0
    question: Question
    future: Future[Any]


class _Lane:
    """One process, started when it is first needed, and what it works on.

    A pool of one: with several processes in a pool nobody could tell whose question ended it.
    """

    def __init__(self, ask: Callable[..., Any]) -> None:
        self._ask = ask
        self._pool: ProcessPoolExecutor | None = None
        self._tries = 0
        self.asked: _Asked | None = None
        self.lost: int | None = None  # a question that ended its process each time

    def put(self, index: int, question: Question) -> None:
        """Ask a question."""
        self._tries = 1
        self._submit(index, question)

    def answered(self) -> list[tuple[int, Any]]:
        """Return the answer, if it has come; ask again where its process was ended."""
        if self.asked is None or not self.asked.future.done():
            return []
        index, question, future = self.asked
        try:
            answer = future.result()
        except BrokenProcessPool:
            if self._tries == TRIES:
                self.asked, self.lost = None, index
                return []
            self._tries += 1
            self._submit(index, question)
            return []
        self.asked = None
        return [(index, answer)]

    def close(self) -> None:
        """Ask no more; a process that still works on a question ends after it, unheard."""
        if self._pool is not None:
            self._pool.shutdown(wait=self.asked is None)

    def _submit(self, index: int, question: Question) -> None:
        with suppress(BrokenProcessPool):  # ended since its last answer: no question did that
            if self._pool is not None:
                self.asked = _Asked(index, question, self._pool.submit(self._ask, *question))
                return
        with fork_server.quiet():
            self._pool = _one_process()
            self.asked = _Asked(index, question, self._pool.submit(self._ask, *question))


def _one_process() -> ProcessPoolExecutor:
    """Return a pool of one that has this process's environment, whenever its server started."""
    start, now = fork_server.context(), dict(os.environ)
    return ProcessPoolExecutor(1, start, initializer=background.begin, initargs=(now,))


def _refill(lanes: Iterable[_Lane], numbered: Iterator[tuple[int, Question]]) -> None:
    """Give a question to each process that has none, as long as there are any."""
    for lane in lanes:
        if lane.asked is None:
            for index, question in numbered:
                lane.put(index, question)
                break


def _refuse_lost(lanes: Iterable[_Lane]) -> None:
    for lane in lanes:
        if lane.lost is not None:
            raise WorkerLost(lane.lost)
