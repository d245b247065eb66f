"""A button that looks for the launch windows of a month while the sliders stay alive.

The flights run in processes of their own; a thread waits for them. It writes numbers and words,
and touches the one figure under the panel's lock only.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial
from threading import Event, Lock, Thread
from time import monotonic

import ipywidgets as widgets

from mplan.plan import Plan
from mplan.show import launch_windows, notebook, notes
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.palette import Theme
from mplan.show.translunar import launch_calendar
from mplan.studies import windows
from mplan.studies.windows import Answer

DAYS = 30
WORKERS = 2  # processes; this one stays free
SELDOM = 0.1  # s at least between two signs of progress
PICTURED = 1.0  # s at least between two states of the calendar


class WindowScan(widgets.VBox):
    """Start, progress, Stop, and below them the calendar and the table of what was found.

    `answers` is what the last scan found, whole or as far as it came; the calendar fills as it
    goes.
    """

    def __init__(self, plan: Callable[[], Plan], lock: Lock, theme: Theme | None = None) -> None:
        """Scan from the day of the `plan` that is shown when the button is pressed."""
        self._plan, self._lock, self._theme = plan, lock, theme
        self._stopping, self._last, self._pictured, self._flown = Event(), 0.0, 0.0, 0
        self.thread: Thread | None = None
        self.answers: list[Answer] = []
        self.start = widgets.Button(
            description="Windows of the month", icon="calendar", layout={"width": "210px"}
        )
        self.stop = widgets.Button(description="Stop", icon="stop", disabled=True)
        self.bar = widgets.IntProgress(0, 0, DAYS, layout={"width": "240px"})
        self.saying, self.table = widgets.HTML(), widgets.HTML()
        self.picture = widgets.VBox(layout={"overflow": "auto"})
        self.start.on_click(self._begin)
        self.stop.on_click(lambda button: self._stopping.set())
        row = widgets.HBox(
            [self.start, self.stop, self.bar, self.saying],
            layout={"flex_flow": "row wrap", "align_items": "center"},
        )
        super().__init__([row, self.picture, self.table])

    @property
    def figure(self) -> LiveFigure | None:
        """The calendar, once a scan has found something."""
        return self.picture.children[0] if self.picture.children else None

    def _begin(self, button: object) -> None:
        if self.thread is not None and self.thread.is_alive():
            return
        self._stopping.clear()
        self.start.disabled, self.stop.disabled, self.bar.value = True, False, 0
        self.saying.value = "The first flights start in a second or two."
        self.thread = Thread(target=self._run, args=(self._plan(),), daemon=True)
        self.thread.start()

    def _run(self, plan: Plan) -> None:
        """Scan, in the thread; whatever happens, the button can be pressed again."""
        try:
            self._pictured = monotonic()
            found = windows.scan_windows(
                plan.scenario,
                plan.scenario.dates.launch_day,
                DAYS,
                workers=WORKERS,
                done=self._progress,
                so_far=partial(self._fill, plan),
                stopped=self._stopping.is_set,
            )
            drawn = self._show(plan, found)
            whole = self._flown == self.bar.max
            stopped = "" if whole else f"Stopped at {self._flown} of {self.bar.max} days. "
            self.saying.value = f"{stopped}{drawn.summary}"
        except Exception as problem:
            self.saying.value = notes.trouble(f"{type(problem).__name__}: {problem}")
            if os.environ.get("MPLAN_RAISE"):
                raise
        finally:
            self.start.disabled, self.stop.disabled = False, True

    def _progress(self, done: int, total: int) -> None:
        now, self._flown = monotonic(), done
        if now - self._last >= SELDOM or done == total:
            self._last, self.bar.value = now, done
            self.saying.value = f"{done} of {total} days flown."

    def _fill(self, plan: Plan, found: Callable[[], list[Answer]]) -> None:
        """Show what there is by now, once in a while."""
        if monotonic() - self._pictured >= PICTURED:
            self._show(plan, found())
            self._pictured = monotonic()

    def _show(self, plan: Plan, found: list[Answer]) -> Drawing:
        """Show the calendar and the table of what was found; return the former."""
        drawn = launch_calendar.drawing(found, plan, self._theme)
        table = notebook.Table(
            launch_windows.frame(found), "No launch in these days."
        )._repr_html_()
        self.answers = found
        with self._lock:
            if self.figure is None:
                self.picture.children = (LiveFigure(drawn, launch_calendar.WIDTH),)
            else:
                self.figure.redraw(drawn)
            self.table.value = table
        return drawn
