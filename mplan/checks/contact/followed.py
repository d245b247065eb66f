"""The craft whose contact is followed: where each is, and how clear each watcher has it.

Two are followed: the one that comes home, or is flown last, and the one that lands while it is on
its own. Places are those of `flight.whereabouts`, up to 17 km off where a rendezvous ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from mplan.checks.contact.watchers import Watcher, every_watcher
from mplan.flight import whereabouts
from mplan.flight.record import Flight, Passage
from mplan.physics.contact.sightings import Clearance
from mplan.vehicle.stack import with_role

CraftWay = tuple[str, np.ndarray, np.ndarray]  # an element, times and places


class FollowedCraft(NamedTuple):
    """A craft's times [TDB s] and places, and how clear each watcher has it."""

    element: str
    t: np.ndarray
    r: np.ndarray
    seen: tuple[Clearance, ...]


def every(flight: Flight) -> tuple[FollowedCraft, ...]:
    """Return the craft that are followed; none without stations or a date."""
    watchers = every_watcher(flight)
    return tuple(_followed(way, watchers) for way in _ways(flight)) if watchers else ()


def _ways(flight: Flight) -> Iterator[CraftWay]:
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


def _followed(way: CraftWay, watchers: Sequence[Watcher]) -> FollowedCraft:
    name, t, r = way
    return FollowedCraft(name, t, r, tuple(each.clearance(r, t) for each in watchers))
