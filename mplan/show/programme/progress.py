"""A programme that is scheduled in a cell, with a line that tells how far it is."""

from __future__ import annotations

from mplan.programme import Calendar, Programme, plan_programme
from mplan.show.interrupted import Interrupted
from mplan.show.programme.tables import verdict
from mplan.show.progress import ProgressLine

STOPPED = "Stopped before there was a calendar; what was flown until then is not flown again."


def scheduled(programme: Programme) -> Calendar:
    """Return the programme's calendar; the line of progress becomes its verdict.

    The first time on a machine it takes some seconds a mission. An interruption of the kernel
    stops it. Raises ScenarioError as `plan_programme` does.
    """
    line = ProgressLine()
    try:
        calendar = plan_programme(programme, done=line)
    except KeyboardInterrupt:
        line.end()
        raise Interrupted(STOPPED) from None
    line.say(verdict(calendar))
    return calendar
