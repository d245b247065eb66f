"""How far a cell is that takes more than a moment, in one line that goes at the end."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import escape
from threading import Event, current_thread, main_thread
from time import monotonic
from types import FrameType
from typing import NamedTuple

from IPython.display import DisplayHandle, display

from mplan.show.notebook import Words

STOP = "to stop, interrupt the kernel"
QUICK = 1.0  # s of work that need no line


class Watched(NamedTuple):
    """What work tells as it goes, and asks."""

    done: Callable[[int, int], None]
    stopped: Callable[[], bool]


class ProgressLine:
    """A line under a cell, there from the first step on that is told of."""

    def __init__(self, after: float = 0.0) -> None:
        """Show nothing yet, nor in the first seconds: quick work needs no line."""
        self._shown: DisplayHandle | None = None
        self._from = monotonic() + after

    def __call__(self, count: int, total: int, name: str) -> None:
        """Say how many of how many are flown, and of what."""
        if count < total and (self._shown is not None or monotonic() >= self._from):
            self.say(sentence(f"{name}: {count} of {total} flown; {STOP}."))
        elif count >= total:
            self.end()

    def say(self, words: Words) -> None:
        """Put other words into the line."""
        if self._shown is None:
            self._shown = display(words, display_id=True)
        else:
            self._shown.update(words)

    def end(self) -> None:
        """Take the words out of the line, where there are any."""
        if self._shown is not None:
            self.say(Words("", ""))


def sentence(text: str) -> Words:
    """Return what a line says."""
    return Words(f'<p role="status">{escape(text)}</p>', text)


@contextmanager
def watched(name: str) -> Iterator[Watched]:
    """Tell how many of what `name` calls them are flown; an interruption of the kernel stops it."""
    line = ProgressLine(QUICK)
    with _interruptible() as stopped:
        try:
            yield Watched(lambda count, total: line(count, total, name), stopped)
        finally:
            line.end()


@contextmanager
def _interruptible() -> Iterator[Callable[[], bool]]:
    """Let an interruption of the kernel be asked for, in place of an error wherever it comes.

    What is given tells whether there was one. A thread is not interrupted.
    """
    asked = Event()
    if current_thread() is not main_thread():
        yield asked.is_set
        return

    def note(number: int, frame: FrameType | None) -> None:
        asked.set()

    before = signal.signal(signal.SIGINT, note)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)
