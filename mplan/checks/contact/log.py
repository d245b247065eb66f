"""The contact log of a mission: passes of stations, silences, and what is seen of events."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from mplan.checks.contact import links
from mplan.checks.contact.followed import FollowedCraft, every
from mplan.checks.contact.links import LinkCurve
from mplan.checks.contact.watchers import Watcher, every_watcher
from mplan.flight.record import Flight
from mplan.physics.contact import sightings
from mplan.vehicle.same import once

LANDING = ("undock", "dock", "land", "lift off", "enter", "splash")  # what events do
SHORTEST = 1.0  # s of a silence worth a line


class StationPass(NamedTuple):
    """A station sees a craft, named by an element: from `begin` to `end` [s since lift-off].

    `highest` [rad] it stands over the station's horizon meanwhile, to the nearest sample.
    """

    element: str
    station: str
    begin: float
    end: float
    highest: float


class Silence(NamedTuple):
    """No station sees a craft from `begin` to `end` [s since lift-off]; `why` half-way."""

    element: str
    begin: float
    end: float
    why: str

    @property
    def duration(self) -> float:
        """How long it lasts [s]."""
        return self.end - self.begin


class Sighted(NamedTuple):
    """A burn at ignition, or an event: the stations that see the craft, or why none does.

    `distance` [m] to the nearest station that sees it, or of all.
    """

    event: str
    element: str
    elapsed: float
    stations: tuple[str, ...]
    why: str
    distance: float


class ContactLog(NamedTuple):
    """Everything that is known of contact; all are empty without stations or a date."""

    passes: tuple[StationPass, ...] = ()
    silences: tuple[Silence, ...] = ()
    events: tuple[Sighted, ...] = ()
    links: tuple[LinkCurve, ...] = ()

    @property
    def longest(self) -> Silence | None:
        """The longest silence, if there is any."""
        return max(self.silences, key=lambda each: each.duration, default=None)


@once
def of(flight: Flight) -> ContactLog:
    """Return the contact log of a flight; a tenth of a second or two for a mission of ten days."""
    watchers, craft = every_watcher(flight), every(flight)
    if not craft:
        return ContactLog()
    start = flight.end.lift_off
    return ContactLog(
        tuple(x for each in craft for x in _passes(each, watchers, start)),
        tuple(x for each in craft for x in _silences(each, start)),
        tuple(_events(flight, craft, watchers)),
        links.of(flight, craft),
    )


def _passes(
    craft: FollowedCraft, watchers: Sequence[Watcher], start: float
) -> Iterator[StationPass]:
    for station, clear in zip(watchers, craft.seen, strict=True):
        for begin, end in sightings.spans(craft.t, clear.least):
            inside = (craft.t >= begin) & (craft.t <= end)
            highest = np.max(clear.horizon[inside], initial=0.0) + station.lowest
            yield StationPass(craft.element, station.name, begin - start, end - start, highest)


def _silences(craft: FollowedCraft, start: float) -> Iterator[Silence]:
    """Yield when no station sees a craft."""
    best = sightings.best(craft.seen)
    for begin, end in sightings.spans(craft.t, -best):
        if end - begin >= SHORTEST:
            middle = int(np.searchsorted(craft.t, (begin + end) / 2.0))
            why = sightings.why_not(craft.seen, min(middle, len(craft.t) - 1))
            yield Silence(craft.element, begin - start, end - start, why)


def _events(
    flight: Flight, craft: Sequence[FollowedCraft], watchers: Sequence[Watcher]
) -> Iterator[Sighted]:
    for each in flight.passages:
        burn = each.burn
        if burn is not None and burn.lit:
            yield from _sighted(burn.name, burn.craft, burn.elapsed, flight, craft, watchers)
        elif each.moment.kind in LANDING:
            about = each.moment
            yield from _sighted(about.event, about.craft, about.elapsed, flight, craft, watchers)


def _sighted(
    event: str,
    who: Sequence[str],
    elapsed: float,
    flight: Flight,
    craft: Sequence[FollowedCraft],
    watchers: Sequence[Watcher],
) -> Iterator[Sighted]:
    """Yield what is seen of an event, where a craft that is followed takes part in it."""
    t = flight.end.lift_off + elapsed
    there = [x for x in craft if x.element in who and x.t[0] - 1.0 <= t <= x.t[-1] + 1.0]
    if not there:
        return
    own = there[-1]
    clear = [np.interp(t, own.t, each.least) for each in own.seen]
    names = tuple(x.name for x, angle in zip(watchers, clear, strict=True) if angle >= 0.0)
    at = np.array([np.interp(t, own.t, x) for x in own.r.T])
    far = {x.name: float(np.linalg.norm(x.places(np.array([t]))[0] - at)) for x in watchers}
    distance = min(far[name] for name in (names or far))
    over = [np.interp(t, own.t, each.horizon) for each in own.seen]
    why = "" if names else sightings.why_unseen(over)
    yield Sighted(event, own.element, elapsed, names, why, distance)
