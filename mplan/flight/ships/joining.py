"""Two ships become one: the one that waits is brought forward, and what it is made of joins.

From then on there is one state, that of the ship that came: its clock, its orbit, its scenario. The
way to the Moon is the one that either has.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from mplan.flight import boil_off
from mplan.flight.housekeeping import drawing
from mplan.flight.living.drawn import drawn as lived
from mplan.flight.record import Moment, Passage
from mplan.flight.state import State
from mplan.flight.unflyable import Unflyable
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.constants import DAY
from mplan.scenario import CoastEvent, DockEvent, Event
from mplan.scenario.events import has_burn
from mplan.vehicle.ledger import Ledger

AT_THE_MOON = "lunar-orbit rendezvous"  # the leg

_Key = TypeVar("_Key")
_Value = TypeVar("_Value")


def ship_of(state: State, element: str) -> str | None:
    """Return the name of the waiting ship that an element is part of, None if of none."""
    return next((name for name, ship in state.waiting.items() if ship.joined(element)), None)


def met_ahead(state: State, ahead: Sequence[Event]) -> str | None:
    """Return the name of the waiting ship that the next docking ahead joins, None if none does."""
    for event in ahead:
        if isinstance(event, DockEvent):
            ships = (ship_of(state, name) for name in (event.target, event.element))
            return next((ship for ship in ships if ship), None)
    return None


def met_at_the_moon(state: State, ahead: Sequence[Event]) -> LunarOrbit | None:
    """Return the orbit, as left, of the ship that the events ahead meet in lunar orbit, or None."""
    if not has_burn(ahead, AT_THE_MOON):
        return None
    name = met_ahead(state, ahead)
    ship = state.waiting[name] if name else None
    return ship.orbit if ship is not None and ship.moon is not None else None


def require_there(state: State, name: str) -> None:
    """Raise Unflyable where a ship to be met has not come to where it waits by now."""
    ship = state.waiting[name]
    if ship.t > state.t and name in state.scenario.left:
        file, there = ship.scenario.source.name, utc_from_tdb(ship.t)
        text = f"found {file}, which leaves it on {there:%Y-%m-%d %H:%M} UTC; accepted: a mission "
        text += f"that leaves it by {utc_from_tdb(state.t):%Y-%m-%d %H:%M} UTC"
        raise Unflyable(("ships", name, "left_by"), text)
    if ship.t > state.t:
        found, there = ship.scenario.dates.launch_day, utc_from_tdb(ship.t)
        text = f"found {found}, so that it waits from {there:%Y-%m-%d %H:%M} UTC on; accepted: a "
        text += f"day on which it is there by {utc_from_tdb(state.t):%Y-%m-%d %H:%M} UTC"
        raise Unflyable(("ships", name, "dates", "launch_day"), text)


def brought_forward(ship: State, t: float) -> State:
    """Return a waiting ship at `t` [TDB s]: further round its orbit, what time takes being drawn.

    That is what boils off, what attitude takes, and what supplies and energy go down by.
    """
    later = ship.until(t)
    return drawing.coasted(lived(boil_off.drawn(later), ship))


def with_ship(state: State, name: str) -> State:
    """Return the state with the waiting ship `name` brought forward and within reach.

    Its elements are those of a craft beside the others, which a docking joins.
    """
    left = state.waiting[name]
    ship = brought_forward(left, state.t)
    state = drawing.coasted(lived(boil_off.drawn(state), state))
    use, more = state.thrusters, ship.thrusters
    if use is not None and more is not None:
        use = replace(use, drawn={**use.drawn, **more.drawn})
    return replace(
        state,
        ledger=_both(state.ledger, ship.ledger),
        craft=(*state.craft, *ship.craft),
        crew={**ship.crew, **state.crew},
        cargo=_laid(state.cargo, ship.cargo),
        thrusters=use,
        departing=state.departing or ship.departing,
        moon=state.moon or ship.moon,
        reserved={**state.reserved, **ship.reserved},
        waiting={key: each for key, each in state.waiting.items() if key != name},
        waits={**state.waits, name: (*state.waits.get(name, ()), _wait(left, ship))},
        alongside="",
    )


def _wait(left: State, met: State) -> Passage:
    """Return the wait of a ship, from how it was left to when it is docked to."""
    event = CoastEvent(do="coast", name="waits until it is met")
    mass, craft = left.mass(left.craft[0]), left.craft[0]
    days = (met.elapsed - left.elapsed) / DAY
    note = f"{days:.1f} d"
    return Passage(
        event, left, met, Moment(event.title, event.do, left.elapsed, mass, craft, False, note)
    )


def _both(ours: Ledger, theirs: Ledger) -> Ledger:
    """Return one ledger: theirs holds what their own elements have left."""
    return replace(
        ours,
        levels=_laid(ours.levels, theirs.levels),
        unusable=_laid(ours.unusable, theirs.unusable),
        starts=_laid(ours.starts, theirs.starts),
        seconds=_laid(ours.seconds, theirs.seconds),
        boiled=_laid(ours.boiled, theirs.boiled),
        received=_laid(ours.received, theirs.received),
        spilt=_laid(ours.spilt, theirs.spilt),
        accounts=_laid(ours.accounts, theirs.accounts),
    )


def _laid(under: Mapping[_Key, _Value], over: Mapping[_Key, _Value]) -> dict[_Key, _Value]:
    return {**under, **over}
