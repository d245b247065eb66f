"""What a decision costs in days and money: another design for a mission, a window missed."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from mplan.physics.constants import DAY
from mplan.programme.flights_ahead import FlightsDone
from mplan.programme.launching import flies
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


def missed_window(
    programme: Programme, mission: str, flying: FlightsDone | None = None
) -> MissedWindow:
    """Return what follows if a mission with windows misses the one it is planned in.

    Windows that `fly_windows` asks for are flown with `flying`, which is told of them (`schedule`).
    """
    found = schedule(programme, flying)
    each, day = found.asked[mission], found.solved.launches[mission]
    met = max((b for a, b in each.told if a <= day <= b), default=day)
    ahead = [each.opens(met + 1)] if flies(programme, mission) else [x for x, _ in each.told]
    later = [x for x in ahead if x > day]
    planned = found.day(day)
    if not later or each.day is not None:
        return MissedWindow(mission, planned, None, None)
    opens = found.day(min(later))
    key = ".".join(map(str, (*table_of(programme, mission), "launch_not_before")))
    # The deadline would only hide what the wait itself costs; a clash tells it.
    again = programme.change({key: opens.isoformat(), f"{key[:-6]}after": None})
    cost = difference(found, again, mission, flying)
    if flies(programme, mission):
        opens = cost.after.lift_off(mission)
    return MissedWindow(mission, planned, opens, cost)


def missed_windows(
    programme: Programme, flying: FlightsDone | None = None
) -> tuple[MissedWindow, ...]:
    """Return what follows if each launch ahead that has windows misses its own, one at a time."""
    asked = schedule(programme, flying).asked
    return tuple(
        missed_window(programme, key, flying)
        for key, each in asked.items()
        if each.windows and not each.flown
    )


def longer_builds(programme: Programme, days: int) -> dict[str, Difference]:
    """Return what it costs if a unit takes `days` [d] more to build, one element at a time.

    For the launch that ends last. Elements that no launch ahead draws a new unit of are left out.
    """
    before = schedule(programme)
    last = _last(before)
    drawn = {task.element for task in before.tasks if task.kind == "build" and not task.stated}
    return {
        name: difference(
            before,
            programme.change(
                f"elements.{name}.build_time", f"{supply.build_time / DAY + days:g} d"
            ),
            last,
        )
        for name, supply in programme.elements.items()
        if name in drawn
    }


def changed_design(
    programme: Programme, changes: Mapping[str, object], flying: FlightsDone | None = None
) -> Difference | None:
    """Return what other values cost, by keys as in the file, for the launch that ends last.

    None where there are none. Windows that `fly_windows` asks for are flown with `flying`, which
    is told of them (`schedule`). Raises ScenarioError where the programme would not do with them.
    """
    if not changes:
        return None
    before = schedule(programme, flying)
    return difference(before, programme.change(changes), _last(before), flying)


def _last(found: Schedule) -> str:
    days = found.solved.launches
    return max(days, key=lambda key: (days[key] + found.asked[key].duration, key))


def difference(
    before: Schedule, changed: Programme, mission: str, flying: FlightsDone | None = None
) -> Difference:
    """Return a changed programme against the schedule before, for one mission."""
    after = schedule(changed, flying)
    return Difference(
        before,
        after,
        after.solved.launches[mission] - before.solved.launches[mission],
        (after.finish - before.finish).days,
        after.total - before.total,
    )
