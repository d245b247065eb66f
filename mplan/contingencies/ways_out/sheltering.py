"""Another cabin of the craft as a shelter from one that leaks: in it until when, and in suits then.

The crew live there without suits, by its own supplies and what serves it, as long as it is joined
and these last; then they go over to the cabin that leaks, if that is what comes home, and close
their suits for the rest. With the lander's cabin the one that leaks they go over to the ship's,
in which they come home. Who is in the ship for a burn meanwhile, in a suit, is not counted.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from mplan.contingencies.ways_out.at_the_moon.leaving import READY
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.lasting import Aboard, still_there
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import Shelter, WayOut
from mplan.flight.state import Craft
from mplan.physics.constants import DAY, HOUR
from mplan.scenario.wording import plain
from mplan.vehicle.stack import with_role

GO_OVER = 2.0 * HOUR  # s before the entry, to leave a shelter (common practice, no source)
WORTH = 1.0 * HOUR  # s, for which it is worth to go over at all (our choice)
TRIES = 6  # lengths of a stay, the longest first (our choice)
SLACK = 60.0  # s that a shelter is left before a supply is gone (our choice)
LEAK: FailureName = "cabin leaks"


def in_shelter(way: WayOut, point: CabinPoint, craft: tuple[Craft, ...]) -> WayOut | None:
    """Return a way once a cabin leaks, its crew in the shelter in which they live longest.

    With what is left at its end. `craft` is what is joined to what once it burns. None where no
    other cabin is there for an hour, or its supplies or its energy do not last for that.
    """
    found = (_within(way, point, craft, cabin) for cabin in shelters(point))
    return min((x for x in found if x is not None), key=lambda x: x.suited, default=None)


def shelters(point: CabinPoint) -> Iterator[str]:
    """Yield the other cabins of the craft in which people can live: seats and supplies stated."""
    elements = point.flight.scenario.elements
    for name in point.craft:
        if name != point.cabin and elements[name].seats and elements[name].supplies is not None:
            yield name


def _within(way: WayOut, point: CabinPoint, craft: tuple[Craft, ...], cabin: str) -> WayOut | None:
    """Return a way with the crew in a cabin for as long as it is joined and they can live there."""
    until, why = _kept_until(way, point, cabin), ""
    if until == way.home:  # nobody goes back from there: its supplies last or the way is closed
        return _lived(way, point, craft, Shelter(cabin, until), why)
    for _ in range(TRIES):
        if until - point.elapsed < WORTH:
            return None
        shelter = Shelter(cabin, until)
        short = _lacks(point, craft, shelter)
        if short is None:
            return _lived(way, point, craft, shelter, why)
        until, why = until - short.by, short.of
    return None


def _kept_until(way: WayOut, point: CabinPoint, cabin: str) -> float:
    """Return until when people can be in a cabin [s since lift-off]: dropped, or near the entry."""
    assert way.home is not None
    if cabin == _home(point) and cabin in way.craft:
        return way.home
    if cabin not in way.craft and way.burns:
        return way.burns[0].elapsed - READY
    entry = way.arcs[-1].end - point.flight.end.lift_off if way.arcs else way.home
    return entry - GO_OVER


def _home(point: CabinPoint) -> str:
    """Return the cabin that comes home; that of the point where the craft is without it."""
    home = with_role(point.flight.scenario, "crew module")
    return home if home is not None and home in point.craft else point.cabin


class _Short(NamedTuple):
    """By how long [s] a stay is too long, and what for."""

    by: float
    of: str


def _lacks(point: CabinPoint, craft: tuple[Craft, ...], shelter: Shelter) -> _Short | None:
    """Return by how much a stay in a shelter is too long for its supplies, or its energy, if it is.

    Energy is taken to be drawn evenly.
    """
    there = still_there(point, shelter.until, LEAK, [_inside(point, craft, shelter)])
    if there.days is not None and there.days < 0.0:
        return _Short(SLACK - there.days * DAY, there.supply)
    if there.energy is not None and there.energy < 0.0:
        first = shelter._replace(until=point.elapsed + 1.0)
        begins = still_there(point, first.until, LEAK, [_inside(point, craft, first)]).energy
        stay, had = shelter.until - point.elapsed, max(0.0, begins or 0.0)
        return _Short(SLACK - stay * there.energy / (had - there.energy), "stored energy")
    return None


def _inside(point: CabinPoint, craft: tuple[Craft, ...], shelter: Shelter) -> Aboard:
    """Return who lives where while all are in a shelter: what it is dropped for comes after."""
    kept = any(shelter.cabin in each and point.cabin in each for each in craft)
    joined = craft if kept else point.before.craft
    return Aboard(shelter.until, {shelter.cabin: _crew(point)}, joined)


def _crew(point: CabinPoint) -> int:
    return sum(n for x, n in point.before.crew.items() if x in point.craft)


def _lived(
    way: WayOut, point: CabinPoint, craft: tuple[Craft, ...], shelter: Shelter, why: str
) -> WayOut:
    """Return the way with what is left at its end of what the last cabin has."""
    assert way.home is not None
    legs, suited = [_inside(point, craft, shelter)], way.home - shelter.until
    last = shelter.cabin if suited <= 0.0 else _home(point)
    if last != shelter.cabin:
        legs.append(Aboard(way.home, {last: _crew(point)}, craft))
    left = still_there(point, way.home, LEAK, legs, counted=(last,))
    note = "; ".join(x for x in (way.note, _said(point, shelter, suited, why)) if x)
    return replace(way, left=left, shelter=shelter, suited=suited, note=note)


def _said(point: CabinPoint, shelter: Shelter, suited: float, why: str) -> str:
    """Return in words who lives where until when, and what they have used up by then."""
    crew, seats = _crew(point), point.flight.scenario.elements[shelter.cabin].seats
    lasts = (shelter.until - point.elapsed) / HOUR
    few = f", which seats {seats}" if seats < crew else ""
    end = f", as long as its {why} lasts" if why else ""
    then = f", then {suited / HOUR:.1f} h in suits" if suited else ""
    return f"{crew} in {plain(shelter.cabin)}{few}, for {lasts:.1f} h{end}{then}"
