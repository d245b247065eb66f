"""A study in a cell: with somebody at the page it runs behind it, without anybody in the cell.

What it shows goes into the cell's own outputs, a picture and words, so that a workbook that is
saved keeps them. Studies of one workbook wait for one another: each has the cores to itself.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Event
from typing import Any, ClassVar, Protocol

from IPython.display import display

from mplan.show.notebook import Words
from mplan.show.panels import stand_in
from mplan.show.panels.attending import attended
from mplan.show.panels.long_run import LongRun, SoFar
from mplan.studies.executors import often

WAIT = 0.2  # s between looks at Stop, for a study that waits for the one before it
REDRAWN = 3.0  # s at least between two pictures of what is found so far
PRESS = "Run this cell in JupyterLab to start the study, with a button to stop it."
NOTHING = Words("", "")


class Telling(Protocol):
    """What a study tells while it runs, and asks."""

    def progress(self, done: int, total: int) -> None:
        """Take how much of how much is done."""

    def fill(self, found: SoFar) -> None:
        """Take what is found so far."""

    def say(self, best: str) -> None:
        """Take what is the best so far, in words."""

    def stopped(self) -> bool:
        """Tell whether to stop."""


@dataclass(frozen=True)
class Study:
    """One study: its button, how its steps are counted, the work, and what is shown of it.

    Nothing is flown before a cell shows it. `counted` is as in "{} of {} flights". `shown` gives a
    picture, or a sentence in its place, the words below it, and a line that tells it all.
    """

    start: str
    counted: str
    work: Callable[[Telling], Any]
    shown: Callable[[Any], tuple[Any, Words, str]]

    def _ipython_display_(self) -> None:
        run(self)

    def __repr__(self) -> str:
        """Return the plain text: nothing is flown for it."""
        return f"{self.start}: {PRESS}"


class _Alone:
    """Nobody is there to be told."""

    def progress(self, done: int, total: int) -> None:
        pass

    def fill(self, found: SoFar) -> None:
        pass

    def say(self, best: str) -> None:
        pass

    def stopped(self) -> bool:
        return False


def run(study: Study) -> StudyRun | None:
    """Show a study in the cell that is run: started behind the page, or done before this returns.

    In JupyterLab it can be stopped and started anew; executed without a page, as for a report,
    there is nobody to press a button.
    """
    often.begin()
    if attended():
        behind = StudyRun(study)
        behind.show_in_cell()
        return behind
    picture, words, _ = study.shown(study.work(_Alone()))
    display(picture, words)
    return None


class StudyRun(LongRun):
    """A study that runs behind the page; `found` is what it came to, whole or so far."""

    pictured = REDRAWN
    _line: Sequence[Event] = ()  # the ends of the studies that were started and are not over
    _newest: ClassVar[dict[str, StudyRun]] = {}  # by what is written on the button

    def __init__(self, study: Study) -> None:
        """Offer to start."""
        self._study, self.found = study, None
        self._over = Event()
        super().__init__(study.start, "play", study.counted, 1)

    def show_in_cell(self) -> None:
        """Show the buttons in this cell, below them what is found, and start.

        What ran in the cell before is stopped: its buttons are gone from the page.
        """
        before = StudyRun._newest.get(self._study.start)
        if before is not None:
            before._stopping.set()
        StudyRun._newest[self._study.start] = self
        stand_in.show(self, f"<p>{PRESS}</p>")
        self._picture, self._words = (display(NOTHING, display_id=True) for _ in range(2))
        self.begin()

    def prepare(self) -> None:
        """Stand in line behind all studies that are not over: one of them may leave the line."""
        self._before = [each for each in StudyRun._line if not each.is_set()]
        self._over = Event()
        StudyRun._line = (*self._before, self._over)

    def work(self) -> Any:  # noqa: ANN401
        """Wait for the study before, and work; one that is stopped meanwhile finds nothing."""
        while any(not each.wait(WAIT) for each in self._before):
            self.saying.value = "Waits for the study above to end."
            if self.stopped():
                return None
        return self._study.work(self)

    def shown(self, found: Any) -> str:  # noqa: ANN401
        """Put picture and words into the cell's outputs."""
        if found is None:
            return "Not begun."
        self.found = found
        picture, words, told = self._study.shown(found)
        self._picture.update(picture)
        self._words.update(words)
        return told

    def _run(self) -> None:
        try:
            super()._run()
        finally:
            self._over.set()
