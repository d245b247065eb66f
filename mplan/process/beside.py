"""Questions shared with a copy of this process, which is made in a hundredth of a second (Linux).

For an answer that somebody waits for, of a few tenths of a second in all. Who asks many questions
has executors. A copy of a process with threads would have locks that nobody opens, so there is
none of such a process; elsewhere, and on one core, this process answers everything itself.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

Answer = TypeVar("Answer")
THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
# Signals that may have handlers which raise.
ENDS = [getattr(signal, x) for x in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, x)]
MANY = 255  # questions: each is a byte


def keep_single() -> None:
    """Have linear algebra that is brought in later start no threads, unless that is set."""
    for name in THREADS:
        os.environ.setdefault(name, "1")


def may_copy() -> bool:
    """Tell whether a copy of this process would be sound, and have a core of its own."""
    if sys.platform != "linux" or len(os.sched_getaffinity(0)) < 2:
        return False
    return len(os.listdir("/proc/self/task")) == 1


def begin(
    ask: Callable[..., Answer], questions: Sequence[Sequence[Any]]
) -> Callable[[], tuple[Answer, ...]]:
    """Let a copy begin with questions; what is returned helps it, and returns all the answers.

    `ask(*question)` is one. Each is taken by who is free first. The copy knows all that is known
    here; its answers are pickled. What it fails at, or whatever ends it, is asked here again.
    """
    if not 1 < len(questions) <= MANY or not may_copy():
        return lambda: tuple(ask(*each) for each in questions)
    from multiprocessing import get_context

    taken, put = os.pipe()
    os.write(put, bytes(range(len(questions))))
    os.close(put)
    fork = get_context("fork")
    got, told = fork.Pipe(duplex=False)
    before = signal.pthread_sigmask(signal.SIG_BLOCK, ENDS)
    try:
        copy = fork.Process(target=_answer, args=(ask, questions, taken, told, before), daemon=True)
        copy.start()
        told.close()
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)

    def all_of_them() -> tuple[Answer, ...]:
        found: dict[int, Answer] = {}
        while number := os.read(taken, 1):
            found[number[0]] = ask(*questions[number[0]])
        os.close(taken)
        found |= _received(got)
        copy.join()
        return tuple(found[i] if i in found else ask(*each) for i, each in enumerate(questions))

    return all_of_them


def _answer(
    ask: Callable[..., Any],
    questions: Sequence[Sequence[Any]],
    taken: int,
    told: Connection,
    unblocked: set[signal.Signals],
) -> None:
    """Answer questions in the copy until none is left; a signal ends it without a word."""
    for each in ENDS:
        signal.signal(each, signal.SIG_DFL)
    signal.pthread_sigmask(signal.SIG_SETMASK, unblocked)
    try:
        while number := os.read(taken, 1):
            told.send((number[0], ask(*questions[number[0]])))
    except Exception:  # whatever it is, who made the copy meets it too, and says it
        os._exit(1)


def _received(got: Connection) -> dict[int, Any]:
    """Return what the copy has answered, once it has ended."""
    found: dict[int, Any] = {}
    while True:
        try:
            number, answer = got.recv()
        except (EOFError, OSError):
            return found
        found[number] = answer
