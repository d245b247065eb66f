"""Ships launched on their own, a few lines each: when, what stands on the pad, where they wait."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.flight.record import Flight
from mplan.physics.constants import DEG, HOUR, MINUTE, R_EARTH, R_MOON
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show import gist


def lines(plan: Plan) -> list[str]:
    """Return the lines of every other ship and of each meeting, plain text with units."""
    found = []
    for name, ship in plan.flight.others.items():
        own = Plan(ship, ())
        parts = [gist.departure(own)] if ship.dated else []
        parts += [gist.on_the_pad(own), *([gist.climb(own)] if ship.climb else []), *_waits(ship)]
        found += [f"ship {plain(name)}: {part}" for part in parts]
    return [*found, *_meetings(plan.flight)]


def _waits(ship: Flight) -> Iterator[str]:
    """Yield where a ship is at the end of its own events."""
    end = ship.end
    if ship.ended or not ship.dated:
        return
    if end.moon is not None:
        high = (end.orbit.a - R_MOON) / 1e3
        yield f"in lunar orbit, {high:.0f} km up, from {ship.utc(end.elapsed):%Y-%m-%d %H:%M} UTC"
    elif end.t < end.outbound.injection:
        high = (end.outbound.parking.radius - R_EARTH) / 1e3
        yield f"in Earth orbit, {high:.0f} km up, from {ship.utc(end.elapsed):%Y-%m-%d %H:%M} UTC"


def _meetings(flight: Flight) -> Iterator[str]:
    """Yield how each ship that waits is met."""
    second = flight.end.second
    if second is not None:
        side = "northward" if second.northward else "southward"
        yield (
            f"launched on the {side} pass, {abs(second.phase) / DEG:.0f} deg "
            f"{'behind' if second.phase > 0.0 else 'ahead of'} the ship to be met; "
            f"{second.wait / HOUR:.1f} h until the rendezvous begins"
        )
    for meeting, burns in flight.end.met:
        yield (
            f"rendezvous with the ship that waits: {meeting.terms.schedule}, "
            f"{meeting.total:.0f} m/s in {len(burns)} burns, {meeting.duration / MINUTE:.0f} min"
        )
