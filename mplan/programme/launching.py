"""What the solver is asked: each launch with its times in whole days from today."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from mplan.programme.missions import as_moments, flown
from mplan.programme.models import PlannedMission
from mplan.programme.production import whole_days
from mplan.programme.programme import Programme

Days = tuple[int, int]  # the first and the last, both meant


@dataclass(frozen=True)
class Launching:
    """One launch: resources by name, times in days; `day` is its lift-off where that is settled."""

    key: str
    pad: str
    team: str
    crew: str | None
    stacking: int
    duration: int
    turnaround: int
    recovery: int
    first_training: int  # before the crew's first mission
    training: int  # before a later one
    day: int | None
    flown: bool
    earliest: int
    deadline: int | None
    windows: tuple[Days, ...]
    elements: tuple[str, ...]  # drawn from stock and lines
    shipping: Mapping[str, int]  # of each element, to the pad
    after: tuple[str, ...]

    def lead(self, element: str) -> int:
        """From an element's readiness to lift-off [d]."""
        return self.shipping[element] + self.stacking


def launchings(programme: Programme) -> dict[str, Launching]:
    """Return the launches of a programme by name, in the order of the file."""
    return {key: _launching(programme, key) for key in programme.launches}


def windows_of(programme: Programme, key: str) -> tuple[tuple[datetime, datetime], ...]:
    """Return the windows of a launch, UTC, in order of time."""
    if key in programme.scenarios:
        return programme.scenarios[key].windows
    return as_moments(programme.launches[key].windows)


def duration_of(programme: Programme, key: str) -> float:
    """Return how long a flight takes [s]: as stated, else as its scenario is flown."""
    each = programme.launches[key]
    stated: float | None = getattr(each, "duration", None)
    return flown(programme.scenarios[key].scenario).flight.duration if stated is None else stated


def _launching(programme: Programme, key: str) -> Launching:
    each, today = programme.launches[key], programme.today
    crew = each.crew if isinstance(each, PlannedMission) else None
    drawn = () if each.flown or each.hardware_ready else programme.elements_of(key)
    not_before = [
        (day - today).days for day in (each.launch_not_before, each.hardware_ready) if day
    ]
    stacking = whole_days(each.stacking)
    ready = (each.hardware_ready - today).days + stacking if each.hardware_ready else 0
    training = programme.crews[crew] if crew else None
    days = [(a.date(), b.date()) for a, b in windows_of(programme, key)]
    return Launching(
        key=key,
        pad=each.pad,
        team=each.control_team,
        crew=crew,
        stacking=stacking,
        duration=whole_days(duration_of(programme, key)),
        turnaround=whole_days(programme.pads[each.pad].turnaround),
        recovery=whole_days(programme.control_teams[each.control_team].recovery),
        first_training=whole_days(
            (training.recurrency if training.trained else training.training) if training else 0.0
        ),
        training=whole_days(training.recurrency if training else 0.0),
        day=(each.launch - today).days if each.launch else None,
        flown=each.flown,
        earliest=max(stacking, ready, *not_before),
        deadline=(each.launch_not_after - today).days if each.launch_not_after else None,
        windows=tuple(((a - today).days, (b - today).days) for a, b in days),
        elements=drawn,
        shipping={x: whole_days(programme.elements[x].shipping) for x in drawn},
        after=each.after,
    )


def end(launch: Launching, kind: str, day: int | None = None) -> int:
    """Return when a launch on `day` (default: its settled one) sets a resource free."""
    start = launch.day if day is None else day
    assert start is not None
    held = {
        "pad": launch.turnaround,
        "crew": launch.duration,
        "team": launch.duration + launch.recovery,
    }
    return start + held[kind]
