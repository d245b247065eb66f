"""Processes that fly start as copies of one that has loaded all there is to load (Linux).

A process that starts anew brings in the libraries and loads what is kept compiled, two seconds of a
core; of two at once neither helps the other. A server of copies, Python's own, does that once and
serves every study for as long as this process lives. It brings in nothing of the kit here: a
command may start it first, and read its files meanwhile. Elsewhere processes start anew.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import get_context, resource_tracker
from multiprocessing.context import BaseContext
from threading import current_thread, main_thread

from mplan.process.beside import ENDS, THREADS

COPIES = sys.platform == "linux"  # macOS has it too, but libraries there that a copy may not use
LOADED = ["mplan.studies.executors.loaded"]  # what the server brings in before it is asked


def begin() -> None:
    """Start the server beside what this process does next, unless it is there."""
    if not COPIES:
        return
    from multiprocessing import forkserver

    with quiet():
        forkserver.set_forkserver_preload(LOADED)
        forkserver.ensure_running()


def context() -> BaseContext:
    """Return how processes are to be started."""
    begin()
    return get_context("forkserver" if COPIES else "spawn")


@contextmanager
def quiet() -> Iterator[None]:
    """Let processes that are started meanwhile keep to a core each, and not hear Ctrl-C."""
    with _single(), _deaf():
        yield


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
    resource_tracker.ensure_running()  # when it starts it unblocks Ctrl-C: before, not after
    with _later():
        before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        try:
            yield
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def _later() -> Iterator[None]:
    """Handle signals after this: another thread takes those that this one has blocked.

    Python handles them here all the same, and a process that is half started is nobody's.
    """
    if current_thread() is not main_thread():
        yield
        return
    came: list[int] = []
    before = {x: handler for x in ENDS if callable(handler := signal.getsignal(x))}
    for each in before:
        signal.signal(each, lambda number, frame: came.append(number))
    try:
        yield
    finally:
        for each, handler in before.items():
            signal.signal(each, handler)
        for number in came:
            signal.raise_signal(number)
