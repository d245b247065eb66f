"""The calendar of a programme, worked out forward from its `today`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from mplan.programme.clashing.clashes import clashes
from mplan.programme.entries import Clash, CostLine, DatedEvent, MissionWindow, Task
from mplan.programme.flights_ahead import FlightsDone, fly_ahead
from mplan.programme.programme import Programme
from mplan.programme.schedule import events, schedule, windows


@dataclass(frozen=True)
class Calendar:
    """A programme scheduled: who does what when, what it costs, and what does not fit.

    `proven` says that no schedule is better by the measure of `searching/measure.py`. Where its
    limit of work ended the search, `gap_days` bounds what a better one could save: the delays of
    all launches together.
    """

    programme: Programme
    tasks: tuple[Task, ...]
    events: tuple[DatedEvent, ...]
    windows: tuple[MissionWindow, ...]
    costs: tuple[CostLine, ...]
    clashes: tuple[Clash, ...]
    proven: bool
    finish: date
    gap_days: float = 0.0


def plan_programme(
    programme: Programme,
    *,
    remedies: bool = True,
    done: FlightsDone = lambda count, total, name: None,
    fly_windows: bool = True,
) -> Calendar:
    """Work out the calendar; with `remedies`, each clash has changes that were scheduled anew.

    Each is a schedule more: of twenty missions, a second or so. Flights come first, some seconds
    each where a mission was not flown yet; `done` is told how many, of how many, and of what. So
    are days of missions that state `fly_windows`, unless that is turned off: a minute or so a
    mission, the first time; what is flown when it is interrupted is kept.

    Raises ScenarioError where a mission's scenario cannot be flown for its duration, or where no
    schedule ends before the ephemeris does.
    """
    fly_ahead(programme, done)
    found = schedule(programme, done if fly_windows else None)
    return Calendar(
        programme,
        found.tasks,
        events(found),
        windows(found),
        found.costs,
        clashes(found, remedies=remedies),
        found.solved.proven,
        found.finish,
        found.solved.gap,
    )
