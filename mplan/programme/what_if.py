"""What a decision costs in days and money: another design for a mission, a window missed."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from mplan.programme.programme import Programme
from mplan.programme.schedule import Schedule, schedule
from mplan.programme.sense import table_of


@dataclass(frozen=True)
class Difference:
    """One schedule against another: days and money [the currency] are more where positive."""

    before: Schedule
    after: Schedule
    launch_days: int  # of the mission that was changed
    finish_days: int
    money: float

    @property
    def proven(self) -> bool:
        """Whether both schedules are the best there are."""
        return self.before.solved.proven and self.after.solved.proven


@dataclass(frozen=True)
class MissedWindow:
    """What it costs to miss the window that a mission is planned in; None where it is the last."""

    mission: str
    planned: date
    next_opens: date | None
    cost: Difference | None


def change_of_design(
    programme: Programme, mission: str, scenario: str | os.PathLike[str]
) -> Difference:
    """Return what it costs to fly another scenario file, its path as seen from here, for a mission.

    What its stack has must be in `[elements]`, with what is to be developed. Raises ScenarioError
    where it is not, or where the file cannot be read.
    """
    folder = programme.source.resolve().parent
    path = Path(os.path.relpath(Path(scenario).resolve(), folder)).as_posix()
    changes = {f"missions.{mission}.scenario": path, f"missions.{mission}.elements": None}
    return difference(schedule(programme), programme.change(changes), mission)


def missed_window(programme: Programme, mission: str) -> MissedWindow:
    """Return what follows if a mission with windows misses the one it is planned in."""
    found = schedule(programme)
    day = found.solved.launches[mission]
    later = [a for a, _ in found.asked[mission].windows if a > day]
    planned = found.day(day)
    if not later or found.asked[mission].day is not None:
        return MissedWindow(mission, planned, None, None)
    opens = found.day(min(later))
    key = ".".join(map(str, (*table_of(programme, mission), "launch_not_before")))
    # The deadline would only hide what the wait itself costs; a clash tells it.
    again = programme.change({key: opens.isoformat(), f"{key[:-6]}after": None})
    return MissedWindow(mission, planned, opens, difference(found, again, mission))


def difference(before: Schedule, changed: Programme, mission: str) -> Difference:
    """Return a changed programme against the schedule before, for one mission."""
    after = schedule(changed)
    return Difference(
        before,
        after,
        after.solved.launches[mission] - before.solved.launches[mission],
        (after.finish - before.finish).days,
        after.total - before.total,
    )
