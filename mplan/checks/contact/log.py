"""The contact log of a mission: passes of stations, silences between them, what is seen of events.

Two craft are followed: the one that comes home, or is flown last, and the one that lands while it
is on its own. Places are those of `flight.whereabouts`, up to 17 km off where a rendezvous ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from mplan.flight import whereabouts
from mplan.flight.record import Flight, Passage
from mplan.physics.contact import sightings
from mplan.physics.contact.ground_stations import GroundStation, places
from mplan.physics.contact.sightings import Clearance
from mplan.scenario import Scenario
from mplan.vehicle.stack import with_role

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

    @property
    def longest(self) -> Silence | None:
        """The longest silence, if there is any."""
        return max(self.silences, key=lambda each: each.duration, default=None)


class _Followed(NamedTuple):
    """A craft's times [TDB s] and places, and how clear each station has it."""

    element: str
    t: np.ndarray
    r: np.ndarray
    seen: tuple[Clearance, ...]


def of(flight: Flight) -> ContactLog:
    """Return the contact log of a flight; a tenth of a second or two for a mission of ten days."""
    stations = stations_of(flight.scenario)
    if not stations or not flight.dated:
        return ContactLog()
    craft = [_followed(each, stations) for each in _ways(flight)]
    start = flight.end.lift_off
    return ContactLog(
        tuple(x for each in craft for x in _passes(each, stations, start)),
        tuple(x for each in craft for x in _silences(each, start)),
        tuple(_events(flight, craft, stations)),
    )


def stations_of(scenario: Scenario) -> tuple[GroundStation, ...]:
    """Return the scenario's stations as physics has them."""
    return tuple(
        GroundStation(x.name, x.latitude, x.longitude, x.altitude, x.lowest_elevation)
        for x in scenario.stations.values()
    )


def _ways(flight: Flight) -> Iterator[tuple[str, np.ndarray, np.ndarray]]:
    """Yield the times and places of the ship, and of what lands while it is on its own."""
    ship = with_role(flight.scenario, "crew module") or flight.end.craft[0][-1]
    yield (ship, *_joined(whereabouts.of(flight, ship)))
    for name, begin, end in _alone(flight, ship):
        parts = (x.within(begin, end) for x in whereabouts.of(flight, name).stretches)
        way = whereabouts.Way(name, tuple(x for x in parts if x is not None))
        if way.stretches:
            yield (name, *_joined(way))


def _alone(flight: Flight, ship: str) -> Iterator[tuple[str, float, float]]:
    """Yield what flies apart from the ship to land, and between which times [TDB s]."""
    away = [x for x in flight.passages if _lands(x, ship)]
    if away:
        cabin = [name for name, crew in away[-1].before.crew.items() if crew and name != ship]
        name = next((x for x in cabin if not away[-1].before.joined(ship).count(x)), "")
        name = name or away[0].before.landed or away[0].before.craft[-1][-1]
        start = flight.end.lift_off
        yield name, start + away[0].before.elapsed, start + away[-1].after.elapsed


def _lands(passage: Passage, ship: str) -> bool:
    """Return whether a craft beside the ship is on its way down, on the ground, or coming up."""
    before = passage.before
    flying = before.lander is not None or passage.after.lander is not None or before.landed
    return bool(flying) and any(ship not in craft for craft in before.craft)


def _joined(way: whereabouts.Way) -> tuple[np.ndarray, np.ndarray]:
    """Return all times and places of a way, each time once."""
    t = np.concatenate([each.t for each in way.stretches])
    r = np.concatenate([each.r for each in way.stretches])
    _, once = np.unique(t, return_index=True)
    return t[once], r[once]


def _followed(
    way: tuple[str, np.ndarray, np.ndarray], stations: Sequence[GroundStation]
) -> _Followed:
    name, t, r = way
    return _Followed(name, t, r, tuple(sightings.clearance(each, r, t) for each in stations))


def _passes(
    craft: _Followed, stations: Sequence[GroundStation], start: float
) -> Iterator[StationPass]:
    for station, clear in zip(stations, craft.seen, strict=True):
        for begin, end in sightings.spans(craft.t, clear.least):
            inside = (craft.t >= begin) & (craft.t <= end)
            highest = np.max(clear.horizon[inside], initial=0.0) + station.lowest
            yield StationPass(craft.element, station.name, begin - start, end - start, highest)


def _silences(craft: _Followed, start: float) -> Iterator[Silence]:
    """Yield when no station sees a craft."""
    best = sightings.best(craft.seen)
    for begin, end in sightings.spans(craft.t, -best):
        if end - begin >= SHORTEST:
            middle = int(np.searchsorted(craft.t, (begin + end) / 2.0))
            why = sightings.why_not(craft.seen, min(middle, len(craft.t) - 1))
            yield Silence(craft.element, begin - start, end - start, why)


def _events(
    flight: Flight, craft: Sequence[_Followed], stations: Sequence[GroundStation]
) -> Iterator[Sighted]:
    for each in flight.passages:
        burn = each.burn
        if burn is not None and burn.lit:
            yield from _sighted(burn.name, burn.craft, burn.elapsed, flight, craft, stations)
        elif each.moment.kind in LANDING:
            about = each.moment
            yield from _sighted(about.event, about.craft, about.elapsed, flight, craft, stations)


def _sighted(
    event: str,
    who: Sequence[str],
    elapsed: float,
    flight: Flight,
    craft: Sequence[_Followed],
    stations: Sequence[GroundStation],
) -> Iterator[Sighted]:
    """Yield what is seen of an event, where a craft that is followed takes part in it."""
    t = flight.end.lift_off + elapsed
    there = [x for x in craft if x.element in who and x.t[0] - 1.0 <= t <= x.t[-1] + 1.0]
    if not there:
        return
    own = there[-1]
    clear = [np.interp(t, own.t, each.least) for each in own.seen]
    names = tuple(x.name for x, angle in zip(stations, clear, strict=True) if angle >= 0.0)
    nearest = min(int(np.searchsorted(own.t, t)), len(own.t) - 1)
    at = np.array([np.interp(t, own.t, x) for x in own.r.T])
    far = {x.name: float(np.linalg.norm(places(x, np.array([t]))[0] - at)) for x in stations}
    distance = min(far[name] for name in (names or far))
    why = "" if names else _reason(own, nearest)
    yield Sighted(event, own.element, elapsed, names, why, distance)


def _reason(craft: _Followed, index: int) -> str:
    """Return why no station sees a craft at the sample nearest to an event's time."""
    why = sightings.why_not(craft.seen, index)
    return sightings.LOW if why == sightings.SEEN else why
