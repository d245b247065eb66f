"""A way home from the way to the Moon as it is told: burns, arcs, the entry at its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from mplan.contingencies.ways_out.coming_down import ComingDown, comes_down
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.pushed_home import (
    PushedBurn,
    Pushing,
    barred,
    left_behind,
)
from mplan.contingencies.ways_out.way_out import LandingPlace, WayBurn, WayOut
from mplan.flight.state import Arc
from mplan.physics.arcs import nbody
from mplan.physics.bodies.downrange import ground_distance
from mplan.physics.vectors import length

FASTER = 11.1e3  # m/s at the interface: escape speed is 11.07 km/s there, a return's lies below


class NamedBurn(NamedTuple):
    """A burn of a way, and what it is called."""

    what: str
    burn: PushedBurn


def told(way: OnTheWay, pushes: Pushing, name: str, burns: Sequence[NamedBurn]) -> WayOut:
    """Return a way home by one engine as flown, closed where the engine or the entry bars it.

    Where the engine does, the entry is not flown: nothing tells when and where it would end.
    """
    end = burns[-1].burn.interface
    way_out = WayOut(
        name=name,
        called=way.called,
        craft=pushes.kept,
        burns=tuple(_burns(way, pushes, burns)),
        closed=barred(way, pushes, [each.burn for each in burns]),
        note=left_behind(way, pushes.kept),
        arcs=tuple(_arcs(way, burns)),
    )
    if way_out.closed:  # nobody comes down by it
        return way_out
    down = comes_down(way.stores, end, way.crew)
    return replace(
        way_out,
        home=down.t - way.state.lift_off,
        lands=down.place,
        closed=down.closed,
        note=_note(way, pushes, down, end),
        estimate=down.estimate,
    )


def shut(way: OnTheWay, pushes: Pushing, name: str, why: str) -> WayOut:
    """Return a way that leads nowhere."""
    return WayOut(name, way.called, pushes.kept, closed=why)


def _burns(way: OnTheWay, pushes: Pushing, burns: Sequence[NamedBurn]) -> list[WayBurn]:
    left, found = pushes.available, []
    for what, burn in burns:
        at = burn.t - burn.duration / 2.0 - way.state.lift_off
        found.append(WayBurn(what, *pushes.burner.key, at, burn.required, left))
        left -= burn.required
    return found


def _arcs(way: OnTheWay, burns: Sequence[NamedBurn]) -> list[Arc]:
    """Return the coasts, each from the cut-off before it to the next burn or the interface."""
    after = [way.now, *(each.burn.after for each in burns)]
    ends = [*(each.burn.t for each in burns), burns[-1].burn.interface.t]
    return [Arc(x.r, x.v, x.t, end) for x, end in zip(after, ends, strict=True) if end > x.t]


def _note(way: OnTheWay, pushes: Pushing, down: ComingDown, end: nbody.Arrival) -> str:
    fast = length(end.v)
    quick = f"entry at {fast / 1e3:.1f} km/s, faster than a return from the Moon's distance"
    told = (
        left_behind(way, pushes.kept),
        quick if fast > FASTER else "",
        down.note,
        _away(way, down.place),
    )
    return "; ".join(x for x in told if x)


def _away(way: OnTheWay, there: LandingPlace) -> str:
    """Return in words how far a splash lies from the recovery area, if there is one."""
    area = way.flight.scenario.recovery
    if area is None:
        return ""
    off = ground_distance(there, (area.latitude, area.longitude))
    if off <= area.radius:
        return f"within {area.name}"
    return f"{off / 1e3:,.0f} km from the middle of {area.name}"
