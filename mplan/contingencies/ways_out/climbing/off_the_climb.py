"""Ways out on the pad and in the climb: the abort modes of the climb, told as ways out.

What has failed is taken to be the stage that burns, whole; a cluster that loses one engine may also
climb on with the others (`with_one_less`). Crew safety rests on this: a planning study's figures,
no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from mplan.contingencies.abort_to_orbit import ALONE
from mplan.contingencies.climb_aborts import abort_modes
from mplan.contingencies.climb_point import AbortMode, ClimbPoint
from mplan.contingencies.return_to_splash import BACK, fallen, falling
from mplan.contingencies.tower_escape import TOWER
from mplan.contingencies.ways_out.burners import lost_at
from mplan.contingencies.ways_out.climbing.with_one_less import IN_ORBIT, LEVEL, climbs_on
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import SPLASH, LandingPlace, WayOut
from mplan.flight.record import Flight
from mplan.flight.state import Craft
from mplan.physics.bodies.downrange import wrapped
from mplan.physics.entry.over_ground import geodetic_place
from mplan.vehicle.same import Same
from mplan.vehicle.stack import crew_module, with_role

TOWERS = "blast and thrust of the tower are rough; its fall and parachutes are not flown"
CANOPIES = "parachutes take as long as at the plan's own splash"
LIFT_UP = "flown with full lift up, and straight on"


class _Down(NamedTuple):
    """When [s since lift-off] and where a fall ends at its parachutes."""

    t: float
    place: LandingPlace


def ways(point: CabinPoint, failure: FailureName) -> Iterator[WayOut]:
    """Yield the ways out on the pad and in the climb, the same whatever fails but for a cluster."""
    at, burn = climb_point(point.flight, point.elapsed), point.next_burn
    if failure == "one engine lost" and at.index is not None and burn is not None:
        yield from climbs_on(at, point.elapsed, burn, lost_at(point, failure))
    yield from _ways(Same(point.flight), point.elapsed)


@lru_cache(maxsize=512)
def _ways(of: Same[Flight], elapsed: float) -> tuple[WayOut, ...]:
    at = climb_point(of.it, elapsed)
    return tuple(_told(at, mode, elapsed) for mode in abort_modes(at))


def climb_point(flight: Flight, elapsed: float) -> ClimbPoint:
    """Return the last point of the climb by a time [s since lift-off], or its first; or the pad."""
    if elapsed <= 0.0:
        return ClimbPoint(flight, None)
    times = flight.end.climb.track.t
    return ClimbPoint(flight, max(1, int(np.searchsorted(times, elapsed, side="right")) - 1))


def _told(at: ClimbPoint, mode: AbortMode, elapsed: float) -> WayOut:
    """Return an abort mode as a way out."""
    if mode.name == TOWER:
        return _way(at, mode, elapsed, (crew_module(at.scenario),), TOWERS)
    if mode.name == BACK:
        down = None if mode.closed else _fallen(at, elapsed)
        found = _way(at, mode, elapsed, (crew_module(at.scenario),), f"{LIFT_UP}; {CANOPIES}")
        return found if down is None else _ended(found, down)
    return _way(at, mode, elapsed, _to_orbit(at, mode), LEVEL, IN_ORBIT)


def _way(
    at: ClimbPoint, mode: AbortMode, elapsed: float, craft: Craft, basis: str, ends: str = SPLASH
) -> WayOut:
    return WayOut(
        name=mode.name,
        called=elapsed,
        craft=craft,
        ends=ends,
        closed=mode.closed,
        note=mode.figure,
        estimate=basis,
    )


def _ended(way: WayOut, down: _Down) -> WayOut:
    """Return a way that comes down."""
    return replace(way, home=down.t, lands=down.place)


def _to_orbit(at: ClimbPoint, mode: AbortMode) -> Craft:
    """Return what goes on to orbit: the ship alone, or what stands above the stage that fails."""
    home, service = crew_module(at.scenario), with_role(at.scenario, "service module")
    if mode.name == ALONE and service is not None:
        return service, home
    parts = at.flight.end.climb.parts
    failing = 0 if at.index is None else int(at.track.stage[at.index])
    dropped = {part.name for part in parts[: failing + 1]}
    return tuple(name for name in at.stack if name not in dropped)


def _fallen(at: ClimbPoint, elapsed: float) -> _Down | None:
    """Return where a fall comes down, the canopies' time as in the plan's own entry."""
    i = at.index
    if i is None:
        return None
    here = (*at.track.r[i].tolist(), *at.track.v[i].tolist())
    found = fallen(here, falling(at.state))
    if found is None:
        return None
    coast, flown = found
    until = at.t + coast + flown.last.t
    latitude, longitude = geodetic_place(flown.last.state, until)
    east = wrapped(longitude + at.scenario.launch_site.longitude)
    entry = at.flight.end.entry
    canopies = entry.descent.duration if entry and entry.descent else 0.0
    return _Down(elapsed - at.t + until + canopies, LandingPlace(latitude, east))
