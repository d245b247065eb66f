"""A button that looks for the launch windows of a month while the sliders stay alive.

The flights run in processes of their own; a thread waits for them. It writes numbers and words,
and touches the one figure under the panel's lock only.
"""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock

import ipywidgets as widgets

from mplan.plan import Plan
from mplan.show import launch_windows, notebook
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.palette import Theme
from mplan.show.panels.long_run import LongRun
from mplan.show.translunar import launch_calendar
from mplan.studies import windows
from mplan.studies.windows import Answer

DAYS = 30
WORKERS = 2  # processes; this one stays free


class WindowScan(LongRun):
    """Start, progress, Stop, and below them the calendar and the table of what was found.

    `answers` is what the last scan found, whole or as far as it came; the calendar fills as it
    goes.
    """

    def __init__(self, plan: Callable[[], Plan], lock: Lock, theme: Theme | None = None) -> None:
        """Scan from the day of the `plan` that is shown when the button is pressed."""
        self._plan, self._lock, self._theme = plan, lock, theme
        self.answers: list[Answer] = []
        self.picture, self.table = widgets.VBox(layout={"overflow": "auto"}), widgets.HTML()
        below = (self.picture, self.table)
        super().__init__("Windows of the month", "calendar", "{} of {} days", DAYS, below)

    @property
    def figure(self) -> LiveFigure | None:
        """The calendar, once a scan has found something."""
        return self.picture.children[0] if self.picture.children else None

    def prepare(self) -> None:
        """Note the plan that is shown now."""
        self._scanned = self._plan()

    def work(self) -> list[Answer]:
        """Scan."""
        return windows.scan_windows(
            self._scanned.scenario,
            self._scanned.scenario.dates.launch_day,
            DAYS,
            workers=WORKERS,
            done=self.progress,
            so_far=self.fill,
            stopped=self.stopped,
        )

    def shown(self, found: list[Answer]) -> str:
        """Show the calendar and the table of what was found."""
        drawn = launch_calendar.drawing(found, self._scanned, self._theme)
        table = notebook.Table(
            launch_windows.frame(found), "No launch in these days."
        )._repr_html_()
        self.answers = found
        with self._lock:
            if self.figure is None:
                self.picture.children = (LiveFigure(drawn, launch_calendar.WIDTH, "windows"),)
            else:
                self.figure.redraw(drawn)
            self.table.value = table
        return drawn.summary
