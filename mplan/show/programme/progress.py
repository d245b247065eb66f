"""How far a cell is that flies missions or launch windows, in one line that goes at the end."""

from __future__ import annotations

from html import escape

from IPython.display import DisplayHandle, display

from mplan.programme import Calendar, Programme, plan_programme
from mplan.show.notebook import Words
from mplan.show.programme.tables import verdict

STOP = "to stop, interrupt the kernel"
STOPPED = "Stopped before there was a calendar; what was flown until then is not flown again."


class ProgressLine:
    """A line under a cell, there from the first flight on that is told of."""

    def __init__(self) -> None:
        """Show nothing yet."""
        self._shown: DisplayHandle | None = None

    def __call__(self, count: int, total: int, name: str) -> None:
        """Say how many of how many are flown, and of what."""
        if count < total:
            self.say(_words(f"{name}: {count} of {total} flown; {STOP}."))
        elif self._shown is not None:
            self.say(Words("", ""))

    def say(self, words: Words) -> None:
        """Put other words into the line."""
        if self._shown is None:
            self._shown = display(words, display_id=True)
        else:
            self._shown.update(words)


def scheduled(programme: Programme) -> Calendar:
    """Return the programme's calendar; the line of progress becomes its verdict.

    The first time on a machine it takes some seconds a mission. An interruption of the kernel
    stops it. Raises ScenarioError as `plan_programme` does.
    """
    line = ProgressLine()
    try:
        calendar = plan_programme(programme, done=line)
    except KeyboardInterrupt:
        line.say(_words(STOPPED))
        raise
    line.say(verdict(calendar))
    return calendar


def _words(text: str) -> Words:
    return Words(f'<p role="status">{escape(text)}</p>', text)
