"""Processes that share flights, one core each, silent when Ctrl-C stops who started them."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from multiprocessing import get_context
from typing import Any, TypeVar

Answer = TypeVar("Answer")
YIELDS = 10  # of 19 steps of niceness (POSIX)
THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def shared(
    ask: Callable[..., Answer], questions: Sequence[Sequence[Any]], workers: int | None
) -> Iterator[tuple[int, Answer]]:
    """Yield the index of each question with its answer, as they come; `ask(*question)` gives it.

    `workers` processes share the work (None: one a core). Where the caller leaves early, what is
    being worked on is finished and the rest is dropped.
    """
    context = get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=context, initializer=_in_background) as pool:
        try:
            with _single(), _deaf():
                waiting = {pool.submit(ask, *each): i for i, each in enumerate(questions)}
            for future in as_completed(waiting):
                yield waiting[future], future.result()
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _in_background() -> None:
    """Begin a process that shares: Ctrl-C is for who started it, and so is a core that it asks for.

    Its start is deaf by inheritance, the rest of its life by this. It yields to the process that
    answers sliders meanwhile.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(YIELDS)


@contextmanager
def _single() -> Iterator[None]:
    """Let the linear algebra of processes that are started meanwhile keep to one core each."""
    before = {name: os.environ.get(name) for name in THREADS}
    os.environ.update(dict.fromkeys(THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            os.environ.pop(name) if value is None else os.environ.update({name: value})


@contextmanager
def _deaf() -> Iterator[None]:
    """Let processes that are started meanwhile not hear Ctrl-C; one that comes is heard after."""
    if not hasattr(signal, "pthread_sigmask"):  # what is started sees to it by itself
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
