"""Abort modes of the climb told as ways out: what then burns, and where it comes down."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from mplan.contingencies.abort_to_orbit import ALONE
from mplan.contingencies.climb_point import AbortMode, ClimbPoint
from mplan.contingencies.return_to_splash import BACK, fallen, falling
from mplan.contingencies.tower_escape import TOWER
from mplan.contingencies.ways_out.way_out import SPLASH, LandingPlace, WayOut
from mplan.flight.state import Craft
from mplan.physics.bodies.downrange import wrapped
from mplan.physics.entry.over_ground import geodetic_place
from mplan.vehicle.stack import crew_module, with_role

IN_ORBIT = "in orbit"  # from where the ways out of an orbit about Earth go on
LEVEL = "level flight with the thrust of its beginning, on the safe side"
TOWERS = "blast and thrust of the tower are rough; its fall and parachutes are not flown"
CANOPIES = "parachutes take as long as at the plan's own splash"
LIFT_UP = "flown with full lift up, and straight on"


class _Down(NamedTuple):
    """When [s since lift-off] and where a fall ends at its parachutes."""

    t: float
    place: LandingPlace


def told(at: ClimbPoint, mode: AbortMode, elapsed: float) -> WayOut:
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
