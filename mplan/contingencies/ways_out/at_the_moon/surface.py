"""Ways out on the Moon: lift-off the next time the ship comes by, or a revolution later.

Without its ascent engine a lander stays: no ship of this plan can come down for it.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import Leaving, ways_home
from mplan.contingencies.ways_out.at_the_moon.lift_off import (
    ASCENT,
    READY,
    MoonLiftOff,
    flown,
    next_lift_offs,
    standing,
)
from mplan.contingencies.ways_out.at_the_moon.now import state_at
from mplan.contingencies.ways_out.at_the_moon.rejoin import lacks
from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import DOCKED, SPLASH, MoonCoast, WayBurn, WayOut
from mplan.flight.descent import site
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.rocket import delta_v
from mplan.physics.twobody import plane_change
from mplan.physics.vectors import turned, unit

PASSES = ("at the next pass", "a revolution later")
STAYS = "the ascent engine is lost, and nothing else lifts the craft off"
NO_HELP = f"{STAYS}; the ship cannot come down for its crew"
OFF = 0.05 * c.DEG  # between site and the ship's plane, from which the ship may turn that instead


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin on the Moon."""
    flight, burn = point.flight, point.flight.burn_of(ASCENT)
    if burn is None:
        yield WayOut("lift-off", point.elapsed, point.craft, closed="nothing there can lift off")
        return
    if (burn.element, burn.engine) in lost.gone:
        why = STAYS if flight.end.rendezvous is None else NO_HELP
        yield WayOut("lift-off", point.elapsed, burn.craft, ends=_end(flight), closed=why)
        return
    if flight.end.rendezvous is None:
        yield from _alone(point, lost)
        return
    ready = point.elapsed + (0.0 if point.passage.burn else READY)  # they stand by for it already
    found = next_lift_offs(flight, point.passage, ready, len(PASSES))
    for when, each in zip(PASSES, found, strict=False):
        yield _met(f"lift-off {when}", point, each, lost)
    yield from _ship_turns(point, found[0], lost)


def after_touchdown(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the way out of a descent that goes on to the ground, and lifts off at the next pass.

    Near the ground that is what is left: an abort would meet it.
    """
    flight = point.flight
    stay = next((x for x in flight.passages if x.moment.kind == "stay" and x.before.landed), None)
    if stay is None or flight.burn_of(ASCENT) is None or flight.end.rendezvous is None:
        return
    first = next_lift_offs(flight, stay, stay.before.elapsed + READY, 1)
    if first:
        yield _met("touchdown, then lift-off at the next pass", point, first[0], lost)


def _end(flight: Flight) -> str:
    return SPLASH if flight.end.rendezvous is None else DOCKED


def burned(what: str, record: BurnRecord) -> WayBurn:
    """Return a burn of the way as a record has it."""
    key = record.element, record.engine
    return WayBurn(what, *key, record.elapsed, record.required, record.available)


def _met(name: str, point: CabinPoint, each: MoonLiftOff, lost: LostEngines) -> WayOut:
    """Return a lift-off that meets the ship."""
    burns = [burned("ascent", each.ascent)]
    if each.meeting is not None and not each.meeting.trouble:
        burns.append(burned("rendezvous", each.meeting))
    trouble = each.ascent.trouble or (each.meeting.trouble if each.meeting else "")
    short = next((x for x in burns if x.margin < 0.0), None)
    return WayOut(
        name=name,
        called=point.elapsed,
        craft=each.ascent.craft,
        burns=tuple(burns),
        ends=DOCKED,
        home=each.docked,
        closed=trouble or (lacks(short) if short else "") or _gone(burns, lost),
        note=each.ascent.note,
        orbits=(
            MoonCoast("the ship's orbit", each.risen.orbit, ()),
            *(MoonCoast("orbit after the ascent", x, each.ascent.craft) for x in _risen(each)),
        ),
        estimate=each.meeting.estimate if each.meeting else "",
    )


def _risen(each: MoonLiftOff) -> Iterator[LunarOrbit]:
    """Yield the orbit in which an ascent ends, if it does."""
    if each.risen.lander is not None:
        yield each.risen.lander


def _gone(burns: list[WayBurn], lost: LostEngines) -> str:
    """Return that a burn's engine is lost, "" where none is."""
    gone = next((x for x in burns if (x.element, x.engine) in lost.gone), None)
    return f"{gone.what}: its engine is lost" if gone else ""


def _ship_turns(point: CabinPoint, first: MoonLiftOff, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the lift-off for which the ship turns its plane over the site, instead of the lander.

    What the ship's return takes later is kept back.
    """
    flight, base = point.flight, standing(point.flight, point.before)
    at = base.later(first.ascent.elapsed - base.elapsed - READY)
    place = first.ascent.at_ignition
    off = place.orbit.angle_off(site(place))
    if abs(off) < OFF or flight.scenario.lunar_ascent.plane != "flown out":
        return
    ship = flight.end.rendezvous.host if flight.end.rendezvous else None
    home = flight.burn_of("trans-Earth injection")
    if ship is None or home is None or (ship.element, ship.engine) in lost.gone:
        return
    over = _turned_over(at, place)
    each = flown(flight, over)
    way = _met("lift-off at the next pass after a plane change by the ship", point, each, lost)
    spent = plane_change(float((place.orbit.v @ place.orbit.v) ** 0.5), abs(off))
    engine = at.scenario.elements[ship.element].engines[ship.engine]
    mass, usable = at.mass(at.joined(ship.element)), at.ledger.usable(ship.element, engine)
    there = delta_v(engine.isp_vacuum, mass, mass - usable) - home.required
    turn = WayBurn("ship's plane change", ship.element, ship.engine, at.elapsed, spent, there)
    yield replace(
        way,
        burns=(turn, *way.burns),
        closed=way.closed or (lacks(turn) if turn.margin < 0.0 else ""),
        note=f"{way.note}; the ship keeps the propellant for its return",
    )


def _turned_over(at: State, place: State) -> State:
    """Return the state with the ship's plane turned through the site as it is at lift-off.

    About the line in its plane a quarter of a turn from the site, where that turn is least.
    """
    orbit, over = at.orbit, unit(site(place))
    level = unit(orbit.normal - float(orbit.normal @ over) * over)
    axis = turned(over, level, c.DEG * 90.0)
    angle = float(place.orbit.angle_off(over))
    tilted = [
        orbit._replace(r=turned(orbit.r, axis, x), v=turned(orbit.v, axis, x))
        for x in (angle, -angle)
    ]
    best = min(tilted, key=lambda x: abs(x.angle_off(over)))
    return at.on_orbit(best)


def _alone(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways of a craft for which no ship waits: up at once, and home from there."""
    flight = point.flight
    each = flown(flight, standing(flight, state_at(point)).later(READY))
    ascent = burned("ascent", each.ascent)
    name = "immediate lift-off"
    if each.ascent.trouble or ascent.margin < 0.0:
        why = each.ascent.trouble or lacks(ascent)
        yield WayOut(name, point.elapsed, each.ascent.craft, (ascent,), closed=why)
        return
    risen = each.risen
    craft = risen.joined(point.cabin)
    leaving = Leaving(flight, risen, craft, risen.orbit, point.before, point.elapsed, lost)
    for way in ways_home(leaving):
        yield replace(
            way, name=f"{name}, then {way.name}", burns=(ascent, *way.burns), note=way.note
        )
