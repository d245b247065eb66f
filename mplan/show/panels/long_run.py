"""Work that takes more than a moment, in a thread: a button, Stop, and how far it has come.

Flights run in processes or in the thread; the page and its sliders stay alive meanwhile. What
has been found when it is stopped, or when it fails, is kept and shown.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from html import escape
from threading import Event, Thread
from time import monotonic
from typing import Any

import ipywidgets as widgets

from mplan.show import notes

SELDOM = 0.1  # s at least between two signs of progress
STOPS = "Stops as soon as the flights under way are done."
PICTURED = 1.0  # s at least between two states of what is found so far

SoFar = Callable[[], Any]  # what has been found by now, put together when it is asked for


class LongRun(widgets.VBox):
    """Start, Stop, progress, and `below` them what kinds of long runs show.

    Kinds say how to `work` and how what is found is `shown`; both run in the thread. `count` has
    the words for how much of how much is done, as in "{} of {} days".
    """

    pictured = PICTURED

    def __init__(
        self, start: str, icon: str, count: str, total: int, below: tuple[widgets.Widget, ...] = ()
    ) -> None:
        """Offer to start; nothing runs yet."""
        self._count, self._stopping = count, Event()
        self._last = self._shown_at = 0.0
        self._flown, self._best = 0, ""
        self.thread: Thread | None = None
        self.start = widgets.Button(description=start, icon=icon, layout={"width": "210px"})
        self.stop = widgets.Button(description="Stop", icon="stop", disabled=True)
        self.bar = widgets.IntProgress(0, 0, total, layout={"width": "240px"})
        self.saying = widgets.HTML()
        self.start.on_click(lambda button: self.begin())
        self.stop.on_click(self._stop)
        row = widgets.HBox(
            [self.start, self.stop, self.bar, self.saying],
            layout={"flex_flow": "row wrap", "align_items": "center"},
        )
        super().__init__([row, *below])

    def work(self) -> Any:  # noqa: ANN401 (what each kind finds)
        """Return what is found; tells `progress` and `fill`, and asks `stopped`."""
        raise NotImplementedError

    def shown(self, found: Any) -> str:  # noqa: ANN401
        """Show what is found, whole or so far; return it in one line of words."""
        raise NotImplementedError

    def prepare(self) -> None:
        """Note, before the thread starts, what the work starts from."""

    def begin(self) -> None:
        """Start, unless it is running."""
        if self.thread is not None and self.thread.is_alive():
            return
        self._stopping.clear()
        self.start.disabled, self.stop.disabled = True, False
        self.bar.value, self._flown, self._best = 0, 0, ""
        self.saying.value = "The first flights start in a second or two."
        self.prepare()
        self.thread = Thread(target=self._run, daemon=True)
        self.thread.start()

    def stopped(self) -> bool:
        """Tell whether Stop was pressed."""
        return self._stopping.is_set()

    def _stop(self, button: object) -> None:
        self.stop.disabled = True
        self.saying.value = STOPS
        self._stopping.set()  # last: the thread has the last word

    def progress(self, done: int, total: int) -> None:
        """Say how much of how much is done, seldom."""
        now, self._flown = monotonic(), done
        if now - self._last >= SELDOM or done == total:
            self._last, self.bar.max, self.bar.value = now, total, done
            if self.stopped():
                return
            more = f" The best so far: {escape(self._best)}." if self._best else ""
            self.saying.value = f"{self._count.format(done, total)} flown.{more}"

    def say(self, best: str) -> None:
        """Tell the best so far along with progress."""
        self._best = best

    def fill(self, found: SoFar) -> None:
        """Show what there is by now, once in a while."""
        if monotonic() - self._shown_at >= self.pictured:
            self.shown(found())
            self._shown_at = monotonic()

    def _run(self) -> None:
        """Work, in the thread; whatever happens, the button can be pressed again."""
        try:
            self._shown_at = monotonic()
            words = self.shown(self.work())
            told = self._count.format(self._flown, self.bar.max)
            cut = f"Stopped at {told}. " if self._flown else "Stopped before the first flight. "
            over = self.stopped() and self._flown < self.bar.max
            self.saying.value = f"{cut if over else ''}{words}"
        except Exception as problem:
            self.saying.value = notes.trouble(f"{type(problem).__name__}: {problem}")
            if os.environ.get("MPLAN_RAISE"):
                raise
        finally:
            self.start.disabled, self.stop.disabled = False, True
