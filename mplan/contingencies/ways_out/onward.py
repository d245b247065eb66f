"""A way out that ends docked to the ship goes on with the ship's own, all of the crew aboard."""

from __future__ import annotations

from dataclasses import replace

from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.lasting import Aboard, still_there
from mplan.contingencies.ways_out.limited import rejoined, runs_out
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import DOCKED, WayOut
from mplan.flight.record import Flight
from mplan.vehicle.stack import with_role


def ship_cabin(flight: Flight) -> str:
    """Return the cabin in which the crew come home."""
    return with_role(flight.scenario, "crew module") or flight.end.craft[0][-1]


def gone_on(way: WayOut, point: CabinPoint) -> WayOut:
    """Return a way to its very end: one that ends docked to the ship with the ship's soonest home.

    The ship is as the flight has it at that time, its propellant too; what failed in the cabin
    stays behind with it.
    """
    if way.closed or way.ends != DOCKED or way.home is None:
        return way
    ship = CabinPoint(point.flight, ship_cabin(point.flight), way.home)
    try:
        found = every.ways_once_docked(ship)
    except LookupError as reason:
        return replace(way, closed=f"docked to the ship, whose way home is unknown: {reason}")
    if not found:
        return replace(way, closed="docked to the ship, which has no way home")
    best = min(found, key=lambda x: (bool(x.closed), float("inf") if x.home is None else x.home))
    whole = replace(
        best,
        name=f"{way.name}, then {best.name}",
        called=way.called,
        burns=(*way.burns, *best.burns),
        note="; ".join(filter(None, (way.note, best.note))),
        estimate="; ".join(dict.fromkeys(filter(None, (way.estimate, best.estimate)))),
        orbits=(*way.orbits, *best.orbits),
        suited=way.suited,
    )
    return whole if whole.closed else _lasting(whole, way.home, point, ship)


def _lasting(way: WayOut, docked: float, point: CabinPoint, ship: CabinPoint) -> WayOut:
    """Return a way with what is left at its end: apart until `docked`, then all in the ship."""
    if way.home is None:
        return way
    apart, all_of_them = point.before, sum(point.before.crew.values())
    legs = (
        Aboard(docked, apart.crew),
        Aboard(way.home, {ship.cabin: all_of_them}, rejoined(ship.before.craft, way.craft)),
    )
    found = replace(way, left=still_there(point, way.home, None, legs))
    return replace(found, closed=runs_out(found))
