"""What the solver is asked: each launch with its times in whole days from today."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from mplan.programme.flown_windows import known
from mplan.programme.missions import as_moments, flown
from mplan.programme.models import PlannedMission
from mplan.programme.money import whole_days
from mplan.programme.programme import Programme
from mplan.scenario.dates import LAST_DAY

Days = tuple[int, int]  # the first and the last, both meant


class Held(NamedTuple):
    """A stretch of days, from one morning to another, in which a launch takes up a resource."""

    kind: str  # pad, crew, team
    name: str
    begins: int
    ends: int


@dataclass(frozen=True)
class LiftOff:
    """One ship as it leaves its pad, `ahead` [d] of the ship that the mission's day counts for.

    `ship` is "" for that one, else the name of a ship launched on its own.
    """

    ship: str
    pad: str
    ahead: int
    stacking: int
    turnaround: int


@dataclass(frozen=True)
class Draw:
    """A unit that a launch takes: `element` is its line, `name` what the scenario calls it.

    `lead` is from its readiness to the lift-off of the mission's day [d].
    """

    element: str
    name: str
    ship: str
    shipping: int
    lead: int


@dataclass(frozen=True)
class Launching:
    """One launch: resources by name, times in days; `day` is its lift-off where that is settled.

    A mission of several ships has a lift-off for each, its own first; all keep their spacing.
    """

    key: str
    team: str
    crew: str | None
    lift_offs: tuple[LiftOff, ...]
    duration: int
    recovery: int
    first_training: int  # before the crew's first mission
    training: int  # before a later one
    day: int | None
    flown: bool
    earliest: int
    deadline: int | None
    windows: tuple[Days, ...]  # in which it may lift off, those not flown yet among them
    told: tuple[Days, ...]  # the windows that are known
    draws: tuple[Draw, ...]  # from stock and lines
    after: tuple[str, ...]

    @property
    def pads(self) -> tuple[str, ...]:
        """The pads that it takes up."""
        return tuple(dict.fromkeys(x.pad for x in self.lift_offs))

    @property
    def elements(self) -> tuple[str, ...]:
        """The lines that it draws units from, each once."""
        return tuple(dict.fromkeys(x.element for x in self.draws))

    @property
    def ahead(self) -> int:
        """How long its first ship has been up when its own day comes [d]."""
        return max(x.ahead for x in self.lift_offs)

    def drawn(self, element: str) -> tuple[Draw, ...]:
        """Return what it takes from a line, the first that it needs first."""
        return tuple(sorted((x for x in self.draws if x.element == element), key=lambda x: -x.lead))

    def opens(self, day: int) -> int:
        """Return the first day from `day` on in a window; past the last one, any."""
        for a, b in self.windows:
            if day <= b:
                return max(day, a)
        return day

    def open_until(self, day: int) -> int:
        """Return the last day up to `day` in a window; before the first one, `day` itself."""
        return max((min(b, day) for a, b in self.windows if a <= day), default=day)

    def spans(self, training: int) -> tuple[Held, ...]:
        """Return what it takes up while it is prepared and flown, days counted from its own.

        One that is flown already is prepared no more.
        """
        before = 0 if self.flown else 1
        pads = (
            Held("pad", x.pad, -x.ahead - before * x.stacking, x.turnaround - x.ahead)
            for x in self.lift_offs
        )
        team = Held("team", self.team, -self.ahead, self.duration + self.recovery)
        crew = Held("crew", self.crew or "", -before * training, self.duration)
        return (*pads, team, crew) if self.crew else (*pads, team)


def launchings(programme: Programme) -> dict[str, Launching]:
    """Return the launches of a programme by name, in the order of the file."""
    return {key: _launching(programme, key) for key in programme.launches}


def windows_of(programme: Programme, key: str) -> tuple[tuple[datetime, datetime], ...]:
    """Return the windows of a launch that are known, UTC, in order of time."""
    if flies(programme, key):
        found = known(programme.scenarios[key].scenario).values()
        return tuple(sorted(window for day in found for window in day))
    if key in programme.scenarios:
        return programme.scenarios[key].windows
    return as_moments(programme.launches[key].windows)


def flies(programme: Programme, key: str) -> bool:
    """Return whether the windows of a launch are flown."""
    each = programme.launches[key]
    return isinstance(each, PlannedMission) and each.fly_windows and not each.flown


def _not_shut(programme: Programme, key: str) -> tuple[Days, ...]:
    """Return the days but those that were flown and have no window that closes."""
    scenario, today = programme.scenarios[key].scenario, programme.today
    found, begins = [], 0
    for day, openings in known(scenario).items():
        if not openings and (shut := (day - today).days) >= 0:
            found.append((begins, shut - 1))
            begins = shut + 1
    return tuple(x for x in (*found, (begins, (LAST_DAY - today).days)) if x[0] <= x[1])


def duration_of(programme: Programme, key: str) -> float:
    """Return how long a flight takes [s]: as stated, else as its scenario is flown."""
    each = programme.launches[key]
    stated: float | None = getattr(each, "duration", None)
    return flown(programme.scenarios[key].scenario).flight.duration if stated is None else stated


def _launching(programme: Programme, key: str) -> Launching:
    each, today = programme.launches[key], programme.today
    crew = each.crew if isinstance(each, PlannedMission) else None
    lift_offs = _lift_offs(programme, key)
    draws = () if each.flown or each.hardware_ready else _draws(programme, key, lift_offs)
    not_before = [
        (day - today).days for day in (each.launch_not_before, each.hardware_ready) if day
    ]
    stacked = max(x.ahead + x.stacking for x in lift_offs)
    ready = (each.hardware_ready - today).days + stacked if each.hardware_ready else 0
    training = programme.crews[crew] if crew else None
    days = [
        ((a.date() - today).days, (b.date() - today).days) for a, b in windows_of(programme, key)
    ]
    return Launching(
        key=key,
        team=each.control_team,
        crew=crew,
        lift_offs=lift_offs,
        duration=whole_days(duration_of(programme, key)),
        recovery=whole_days(programme.control_teams[each.control_team].recovery),
        first_training=whole_days(
            (training.recurrency if training.trained else training.training) if training else 0.0
        ),
        training=whole_days(training.recurrency if training else 0.0),
        day=(each.launch - today).days if each.launch else None,
        flown=each.flown,
        earliest=max(stacked, ready, *not_before),
        deadline=(each.launch_not_after - today).days if each.launch_not_after else None,
        windows=_not_shut(programme, key) if flies(programme, key) else joined(days),
        told=joined(days),
        draws=draws,
        after=each.after,
    )


def joined(days: Iterable[Days]) -> tuple[Days, ...]:
    """Return stretches of days in order, those that overlap or follow at once made one."""
    found: list[Days] = []
    for a, b in sorted(days):
        if found and a <= found[-1][1] + 1:
            found[-1] = found[-1][0], max(found[-1][1], b)
        else:
            found.append((a, b))
    return tuple(found)


def _lift_offs(programme: Programme, key: str) -> tuple[LiftOff, ...]:
    """Return the lift-off of the mission's day, then those of ships launched on their own."""
    each = programme.launches[key]
    found = [LiftOff("", each.pad, 0, whole_days(each.stacking), _turnaround(programme, each.pad))]
    for ship, days in programme.ships_ahead(key).items():
        own = each.ships.get(ship) if isinstance(each, PlannedMission) else None
        pad = (own.pad if own else None) or each.pad
        stacking = each.stacking if own is None or own.stacking is None else own.stacking
        turnaround = _turnaround(programme, pad)
        found.append(LiftOff(ship, pad, days, whole_days(stacking), turnaround))
    return tuple(found)


def _turnaround(programme: Programme, pad: str) -> int:
    return whole_days(programme.pads[pad].turnaround)


def _draws(programme: Programme, key: str, lift_offs: tuple[LiftOff, ...]) -> tuple[Draw, ...]:
    found, by_ship = [], {x.ship: x for x in lift_offs}
    for name in programme.elements_of(key):
        element = programme.built_as(key, name)
        lift_off = by_ship[programme.ship_of(key, name)]
        shipping = whole_days(programme.elements[element].shipping)
        lead = shipping + lift_off.stacking + lift_off.ahead
        found.append(Draw(element, name, lift_off.ship, shipping, lead))
    return tuple(found)
