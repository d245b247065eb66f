"""How a process begins that works beside one with a user before it."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import parent_process, resource_tracker
from threading import Thread

from mplan.physics import compiling
from mplan.studies.executors import often

YIELDS = 10  # of 19 steps of niceness (POSIX)
THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def begin() -> None:
    """Begin a process that shares: Ctrl-C is for who started it, and so is a core that it asks for.

    Its start is deaf by inheritance, the rest of its life by this. It yields to the process that
    answers sliders meanwhile. Functions are loaded beside its work once they are kept compiled.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(YIELDS)
    compiling.start_once_kept()
    often.collect_seldom()
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """End this process once the one that started it is gone, killed outright: nobody listens."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


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
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
