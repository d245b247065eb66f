"""How a process begins that works beside one with a user before it."""

from __future__ import annotations

import os
import signal
from collections.abc import Mapping
from multiprocessing import parent_process
from threading import Thread

from mplan.physics import compiling
from mplan.process import collecting

YIELDS = 10  # of 19 steps of niceness (POSIX)


def begin(environment: Mapping[str, str]) -> None:
    """Begin a process that shares: Ctrl-C is for who started it, and so is a core that it asks for.

    Its start is deaf by inheritance, the rest of its life by this. It has the environment that its
    starter has by now. It yields to the process that answers sliders meanwhile. Functions are
    loaded beside its work once they are kept compiled.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.clear()
    os.environ.update(environment)
    if hasattr(os, "nice"):
        os.nice(YIELDS)
    compiling.start_once_kept()
    collecting.seldom()
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """End this process once the one that started it is gone, killed outright: nobody listens."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
