"""How a command is stopped: at any moment, without a traceback, with the exit code of the signal.

This module is loaded before anything else that a command needs, and loads next to nothing.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from types import FrameType
from typing import NoReturn

from mplan.process import collecting

SAID = "stopped; nothing was written\n"
SIGNALS = [
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
]
_first: list[int] = []  # the signal that came first, once one has


class Stopped(KeyboardInterrupt):
    """A signal that ends the command; what is open is put away on its way out."""


def command() -> int:
    """Run a command line, as `mplan` and `python -m mplan` do, and return its exit code."""
    at_once()
    collecting.seldom()
    from mplan.cli import main

    orderly()
    try:
        return _code(main)
    finally:
        collecting.no_more()


def _code(main: Callable[[], int]) -> int:
    """Return the exit code of `main`, or that of a signal that ended it."""
    from mplan.commands.exit_codes import STOPPED

    try:
        code = main()
    except BaseException:
        stopped = no_more()
        if stopped is None:
            raise
        sys.stderr.write(SAID)
        return stopped  # whatever came of it: some libraries make another error of it
    stopped = no_more()
    return stopped if code == STOPPED and stopped else code


def at_once() -> None:
    """Let a signal end the process on the spot: nothing is open yet."""
    for number in SIGNALS:
        if signal.getsignal(number) is not signal.SIG_IGN:  # such as under nohup
            signal.signal(number, _leave)


def orderly() -> None:
    """Let a signal raise Stopped from now on."""
    for number in SIGNALS:
        if signal.getsignal(number) is _leave:
            signal.signal(number, _raise)
    sys.unraisablehook = _not_lost


def no_more() -> int | None:
    """Ignore further signals, for all is done; return the exit code of one that came, if any."""
    for number in SIGNALS:
        if signal.getsignal(number) in (_leave, _raise):
            signal.signal(number, signal.SIG_IGN)
    return 128 + _first[0] if _first else None


def _leave(number: int, frame: FrameType | None) -> NoReturn:
    os.write(2, SAID.encode("ascii"))
    os._exit(128 + number)


def _raise(number: int, frame: FrameType | None) -> NoReturn:
    _first.append(number)
    raise Stopped


def _not_lost(lost: sys.UnraisableHookArgs) -> None:
    """Raise anew a moment later what came while Python was in a place that cannot raise."""
    if issubclass(lost.exc_type, KeyboardInterrupt) and hasattr(signal, "setitimer"):
        signal.signal(signal.SIGALRM, _again)
        signal.setitimer(signal.ITIMER_REAL, 0.01)
        return
    sys.__unraisablehook__(lost)


def _again(number: int, frame: FrameType | None) -> NoReturn:
    raise Stopped
