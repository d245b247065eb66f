"""A programme scheduled in a cell, which tells how far it is while it flies the missions."""

from __future__ import annotations

from html import escape

from IPython.display import display

from mplan.programme import Calendar, Programme, plan_programme
from mplan.show.notebook import Words
from mplan.show.programme.tables import verdict

STOP = "to stop, interrupt the kernel"


def scheduled(programme: Programme) -> Calendar:
    """Return the programme's calendar; the line of progress becomes its verdict.

    The first time on a machine it takes some seconds a mission. An interruption of the kernel
    stops it between two steps of a flight. Raises ScenarioError as `plan_programme` does.
    """
    line = display(_words("The missions are read."), display_id=True)

    def told(count: int, total: int, name: str) -> None:
        text = f"Mission {count + 1} of {total} is flown: {name}"
        line.update(_words(f"{text}; {STOP}." if count < total else "Days are searched."))

    calendar = plan_programme(programme, done=told)
    line.update(verdict(calendar))
    return calendar


def _words(text: str) -> Words:
    return Words(f'<p role="status">{escape(text)}</p>', text)
