"""Ships launched on their own, a few lines each: when, what stands on the pad, where they wait.

And what they bring: how they are met, what they transfer.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from mplan.checks import power
from mplan.checks.docked.on_the_ground import landed, nights
from mplan.checks.light import sun_at_landing
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, DEG, HOUR, MINUTE, R_EARTH, R_MOON
from mplan.plan import Plan
from mplan.scenario import TransferPropellantEvent
from mplan.scenario.figures import amount
from mplan.scenario.wording import place, plain
from mplan.show import gist
from mplan.vehicle.ledger import Key

ON_THE_MOON = 2  # digits of a place in degrees: 0.3 km, where landing points are compared


def lines(plan: Plan) -> list[str]:
    """Return the lines of every other ship and of each meeting, plain text with units."""
    found = []
    for name, mission in plan.flight.left.items():
        parts = [_left(mission, plan.flight.waits.get(name))]
        parts += [_met(plan.flight.waits[name])] if name in plan.flight.waits else []
        found += [f"ship {plain(name)}: {part}" for part in parts]
    for name, ship in plan.flight.others.items():
        own = Plan(ship, ())
        parts = [gist.departure(own)] if ship.dated else []
        parts += [gist.on_the_pad(own), *([gist.climb(own)] if ship.climb else []), *_waits(ship)]
        parts += [_met(plan.flight.waits[name])] if name in plan.flight.waits else []
        found += [f"ship {plain(name)}: {part}" for part in parts]
    ground = _on_the_ground(plan.flight)
    return [*found, *_meetings(plan.flight), *_transfers(plan.flight), *ground]


def _waits(ship: Flight) -> Iterator[str]:
    """Yield where a ship is at the end of its own events."""
    end = ship.end
    if ship.ended or not ship.dated:
        return
    if end.landed:
        site, sun = ship.scenario.site, sun_at_landing(ship)
        light = "" if sun is None else f", the Sun at {sun / DEG:.1f} deg"
        when = f"{ship.utc(end.elapsed):%Y-%m-%d %H:%M} UTC"
        where = place(site.latitude, site.longitude, ON_THE_MOON)
        yield f"landed near {where}, {when}{light}"
    elif end.moon is not None:
        high = (end.orbit.a - R_MOON) / 1e3
        yield f"in lunar orbit, {high:.0f} km up, from {ship.utc(end.elapsed):%Y-%m-%d %H:%M} UTC"
    elif end.t < end.outbound.injection:
        high = (end.outbound.parking.radius - R_EARTH) / 1e3
        yield f"in Earth orbit, {high:.0f} km up, from {ship.utc(end.elapsed):%Y-%m-%d %H:%M} UTC"


def _left(mission: Flight, wait: Flight | None) -> str:
    """Return which mission left a ship and, where it is met, on which orbit and since when."""
    scenario = mission.scenario
    text = f"left in lunar orbit by {scenario.mission.name} ({scenario.source.name})"
    if wait is None:
        return text
    high = (wait.start.orbit.a - R_MOON) / 1e3
    since = f"{wait.utc(wait.start.elapsed):%Y-%m-%d %H:%M} UTC"
    return f"{text}, {high:.0f} km up, from {since}"


def _met(wait: Flight) -> str:
    """Return how long a ship had waited when it was docked to, its energy and its upkeep."""
    uses = [use for use in power.used(wait) if use.standby]
    stored, left = (sum(x) / power.KWH for x in ([u.stored for u in uses], [u.left for u in uses]))
    energy = f", {left:.0f} of {stored:.0f} kWh left" if uses else ", its energy is not counted"
    burns = wait.burns
    speed, mass = (sum(x) for x in ([b.required for b in burns], [b.propellant for b in burns]))
    upkeep = f"; orbit restored {len(burns)} times, {speed:.0f} m/s, {mass:.0f} kg" if burns else ""
    lasted = (wait.duration - wait.start.elapsed) / DAY
    return f"docked to after a wait of {lasted:.1f} d{energy}{upkeep}"


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


def _on_the_ground(flight: Flight) -> Iterator[str]:
    """Yield what a ship has landed before the crew, or after them."""
    for each in landed(flight):
        text = f"on the ground: {plain(each.element)} with {amount(each.payload)} kg of payload"
        if each.distance is not None and each.waited is not None:
            when = f"{abs(each.waited) / DAY:.1f} d {'before' if each.waited > 0.0 else 'after'}"
            text += f", {when} the crew and {each.distance / 1e3:.1f} km from their landing point"
            text += f", {nights(each)}" if each.waited > 0.0 else ""
        yield text


def _transfers(flight: Flight) -> Iterator[str]:
    """Yield what each transfer of propellant moved and lost."""
    for passage in flight.passages:
        event = passage.event
        if isinstance(event, TransferPropellantEvent):
            before, after = passage.before.ledger, passage.after.ledger
            arrived = _gained(before.received, after.received, event.target)
            lost = _gained(before.spilt, after.spilt, event.origin)
            basis = "" if event.losses is not None else " (estimate: common practice, no source)"
            push = event.settling_acceleration
            settled = f", settled at {push * 1e3:g} mm/s2" if push else ""
            yield (
                f"transfer from {plain(event.origin)} to {plain(event.target)}: "
                f"{amount(arrived)} kg of {event.propellant} arrive, "
                f"{amount(lost)} kg lost{basis}{settled}, {event.duration / HOUR:.1f} h"
            )


def _gained(before: Mapping[Key, float], after: Mapping[Key, float], element: str) -> float:
    """Return by how much the entries of an element have grown [kg]."""
    keys = (key for key in after if key[0] == element)
    return sum(after[key] - before.get(key, 0.0) for key in keys)
