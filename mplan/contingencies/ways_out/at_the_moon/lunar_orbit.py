"""Ways out in lunar orbit: home at any hour by each engine, once all of the crew are aboard.

While a lander is away with people in it the ship waits for them: its way out begins with the
soonest of theirs. Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.contingencies.ways_out.at_the_moon import cut_change, surface, way_down, way_up
from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import (
    Leaving,
    sooner_home,
    ways_home,
    with_kept,
)
from mplan.contingencies.ways_out.at_the_moon.now import state_at
from mplan.contingencies.ways_out.burners import NOTHING, LostEngines, burners
from mplan.contingencies.ways_out.lost_decides import WaysAfter, lost_decides
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.sheltering import shelters
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.physics import constants as c
from mplan.vehicle.evolved import evolved
from mplan.vehicle.stack import crew_module

BOARDING = 2.0 * c.HOUR  # from contact to all being aboard, unless the plan says (common practice)
BACK: dict[str, WaysAfter] = {
    "way down": way_down.ways,
    "on the Moon": surface.ways,
    "way up": way_up.ways,
}
LEFT_BEHIND = "the lander's crew have no way back to the ship"


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin that goes round the Moon."""
    burn = point.burning
    away = [x for x, n in point.before.crew.items() if n and x not in point.craft]
    if away:
        yield from _once_back(point, away[0], lost)
    elif burn is not None and point.passage.burn is burn:
        yield from cut_change.ways(point, burn, lost)
    else:
        found = list(ways_home(_leaving(point, lost)))
        yield from found
        docked = _docked(point, lost)
        if docked is not None and all(x.closed for x in found):
            for way in ways_home(docked):
                note = "; ".join(x for x in ("docks first, as planned", way.note) if x)
                yield replace(way, note=note)


def _docked(point: CabinPoint, lost: LostEngines) -> Leaving | None:
    """Return the ship once the docking that is on is over: all that it is then joined to is there.

    None where none is on, or no thrusters are left to dock with.
    """
    after, state = point.passage.after, state_at(point)
    craft = after.joined(point.cabin)
    if point.passage.event.do != "dock" or set(craft) <= set(point.craft):
        return None
    left = burners(state, point.craft, lost)
    if not any(x.rated(state).purpose == "thrusters" for x in left):
        return None
    return Leaving(point.flight, after, craft, after.orbit, point.before, point.elapsed, lost)


def with_shelter(point: CabinPoint) -> Iterator[WayOut]:
    """Yield the ways home from lunar orbit that keep another cabin, alone and with all there is."""
    if point.burning is None:
        yield from with_kept(_leaving(point, NOTHING), tuple(shelters(point)))


def sooner(point: CabinPoint) -> Iterator[WayOut]:
    """Yield the ways home that spend what is there to be home soon, with all of the crew aboard."""
    burn = point.burning
    if any(n and x not in point.craft for x, n in point.before.crew.items()):
        return
    if burn is not None and point.passage.burn is burn:
        yield from sooner_home(cut_change.leaving(point, burn, NOTHING))
    else:
        yield from sooner_home(_leaving(point, NOTHING))


def once_docked(point: CabinPoint) -> Iterator[WayOut]:
    """Yield the ways home of a ship to which its lander has just come back, all crew boarding."""
    yield from ways_home(_all_aboard(point, point.elapsed, NOTHING))


def _leaving(point: CabinPoint, lost: LostEngines) -> Leaving:
    state = state_at(point)
    craft, orbit = state.joined(point.cabin), point.before.orbit
    return Leaving(point.flight, state, craft, orbit, point.before, point.elapsed, lost)


def _once_back(point: CabinPoint, cabin: str, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways home that begin with the return of a lander's crew."""
    lander = CabinPoint(point.flight, cabin, point.elapsed)
    back = BACK.get(lander.stretch)
    found = [] if back is None else [x for x in back(lander, "called off") if not x.closed]
    first = min(found, key=lambda x: x.home or 0.0, default=None)
    if first is None or first.home is None:
        yield WayOut("wait for the lander", point.elapsed, point.craft, closed=LEFT_BEHIND)
        for way in ways_home(_leaving(point, lost)):
            yield replace(way, name=f"{way.name}, without the lander's crew")
        return
    for way in ways_home(_all_aboard(point, first.home, lost)):
        hours = (first.home - point.elapsed) / c.HOUR
        waits = f"the ship waits {hours:.1f} h for its lander: {first.name}"
        yield replace(way, note="; ".join(x for x in (waits, way.note) if x))


def _all_aboard(point: CabinPoint, docked: float, lost: LostEngines) -> Leaving:
    """Return the ship once all have boarded it, its lander dropped, to leave from then on."""
    state, home = state_at(point), crew_module(point.flight.scenario)
    ready = state.later(docked + boarding(point.flight) - point.elapsed)
    crew = {home: sum(point.before.crew.values())}
    ship = ready.joined(home)
    whole = evolved(ready, craft=(ship,), crew=crew)
    orbit = point.before.orbit
    return Leaving(point.flight, whole, ship, orbit, point.before, point.elapsed, lost)


def boarding(flight: Flight) -> float:
    """Return how long [s] it takes from contact until all are aboard, as the plan has it."""
    after, total = False, 0.0
    for each in flight.passages:
        if each.burn is not None:
            after = each.burn.leg == "rendezvous"
        elif after and each.moment.kind in ("dock", "transfer crew"):
            total += each.after.elapsed - each.before.elapsed
    return total or BOARDING
