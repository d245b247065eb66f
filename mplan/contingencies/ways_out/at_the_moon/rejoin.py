"""A lander in an orbit of its own goes back to the ship: which engines burn, and what they have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from mplan.contingencies.ways_out.at_the_moon.ships_rescue import IMPACT, NO_SHIP
from mplan.contingencies.ways_out.at_the_moon.to_the_ship import PhasedMeeting, meetings
from mplan.contingencies.ways_out.burners import Burner, LostEngines, burners
from mplan.contingencies.ways_out.way_out import DOCKED, MoonCoast, WayBurn, WayOut
from mplan.flight import rendezvous
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import Craft, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast, key_of, to_perilune
from mplan.physics.arcs.orbit import apsides
from mplan.physics.rocket import burn_time, propellant
from mplan.vehicle.evolved import evolved
from mplan.vehicle.stack import crew_module

PHASING, WAITS = "phasing orbit", "orbit of the wait"
NO_PERILUNE = 2e-3  # eccentricity up to which a low orbit is as good as level: 4 km either way


class Apart(NamedTuple):
    """A lander away from the ship: its state and orbit, the ship's orbit then, what it has burned.

    `craft` is what goes on, after the `burns` so far. `level`: it stands at its perilune now.
    """

    flight: Flight
    state: State
    craft: Craft
    orbit: LunarOrbit
    ship: LunarOrbit
    called: float
    lost: LostEngines
    burns: tuple[WayBurn, ...] = ()
    level: bool = False


def back_to_ship(apart: Apart, name: str, phased_by: Burner | None) -> WayOut:
    """Return the way back to the ship, phased by an engine; the rendezvous as the plan has it.

    Of the meetings there are the soonest that the tanks give is taken, else the one that lacks
    least. Without an engine for phasing it waits in its own orbit.
    """
    shut = WayOut(
        name,
        apart.called,
        apart.craft,
        apart.burns,
        DOCKED,
        orbits=ship_and_lander(apart.ship, apart.orbit, apart.craft),
    )
    plan = apart.flight.burn_of("rendezvous")
    if plan is None or apart.flight.end.rendezvous is None:
        return replace(shut, closed=NO_SHIP)
    if apsides(apart.orbit)[0] < c.R_MOON:
        return replace(shut, closed=IMPACT)
    ways = [_way(shut, apart, plan, met, phased_by) for met in _meetings(apart, phased_by)]
    if not ways:
        return replace(shut, closed="no phasing orbit leads to the ship")
    good = [each for each in ways if not each.closed]
    if good:
        return min(good, key=lambda each: each.home or 0.0)
    return max(ways, key=lambda each: each.margin or 0.0)


def _meetings(apart: Apart, phased_by: Burner | None) -> Iterator[PhasedMeeting]:
    """Yield the meetings from the perilune of the lander's orbit; without phasing waits alone."""
    here = apart.orbit
    if not apart.level and here.e > NO_PERILUNE:
        here = coast(here, to_perilune(here))
    there = apart.ship
    if here.t != there.t:
        there = coast(there, here.t - there.t)
    asked = rendezvous.terms(apart.flight.scenario)
    for met in meetings(key_of(here), key_of(there), asked):
        if phased_by is not None or not met.phasing:
            yield met


def _way(
    shut: WayOut, apart: Apart, plan: BurnRecord, met: PhasedMeeting, phased_by: Burner | None
) -> WayOut:
    lift_off, state, craft = apart.flight.end.lift_off, apart.state, apart.craft
    burns, note = list(shut.burns), _waits(met)
    if met.phasing and phased_by is not None:
        there = phased_by.available(state, craft)
        at = met.begins - lift_off
        burns.append(WayBurn("phasing", *phased_by.key, at, met.phasing, there))
        state = spent(state, craft, phased_by, met.phasing)
    alone = tuple(x for x in craft if x in plan.craft)
    state = state.without(x for x in craft if x not in alone)
    meets = next((x for x in burners(state, alone, apart.lost) if _same(x, plan)), None)
    if meets is None:
        meets = next(iter(burners(state, alone, apart.lost)), None)
    if meets is None:
        return replace(shut, burns=tuple(burns), closed="no engine is left for the rendezvous")
    settings = apart.flight.scenario.rendezvous
    needs = met.meeting.total + settings.midcourse + settings.docking
    begins = met.meeting.steps[0].t - lift_off
    there = meets.available(state, alone)
    burns.append(WayBurn("rendezvous", *meets.key, begins, needs, there))
    lacking = next((x for x in burns if x.margin < 0.0), None)
    return replace(
        shut,
        craft=alone,
        burns=tuple(burns),
        home=met.docked - lift_off,
        closed=lacks(lacking) if lacking else "",
        note=note,
        orbits=(*shut.orbits, MoonCoast(PHASING if met.phasing else WAITS, met.orbit, craft)),
    )


def ship_and_lander(ship: LunarOrbit, lander: LunarOrbit, craft: Craft) -> tuple[MoonCoast, ...]:
    """Return the orbits of the ship and of a lander, to be drawn."""
    return MoonCoast("the ship's orbit", ship, ()), MoonCoast("the lander's orbit", lander, craft)


def _same(burner: Burner, plan: BurnRecord) -> bool:
    return burner.key == (plan.element, plan.engine)


def _waits(met: PhasedMeeting) -> str:
    """Return in words how the phase is made right."""
    if not met.revolutions:
        return ""
    turns = f"{met.revolutions} revolution{'s' if met.revolutions > 1 else ''}"
    return f"{turns} in {'a phasing' if met.phasing else 'its own'} orbit first"


def lacks(burn: WayBurn) -> str:
    """Return in words what a burn lacks."""
    return (
        f"{burn.what}: takes {burn.required:.0f} m/s, and its tanks give {burn.available:.0f} m/s"
    )


def spent(state: State, craft: Craft, burner: Burner, velocity: float) -> State:
    """Return the state once an engine has given a craft a velocity [m/s], or all it has."""
    engine, mass = burner.rated(state), state.mass(craft)
    drawn = min(propellant(burner.isp, mass, velocity), burner.usable(state))
    seconds = burn_time(burner.thrust, burner.isp, drawn)
    return evolved(state, ledger=state.ledger.after_burn(*burner.key, engine, drawn, seconds))


def beside_ship(apart: Apart) -> Iterator[WayOut]:
    """Yield the ways back to a ship that the lander is still, or again, beside: either docks."""
    yield _docking(apart, "redocking with the ship", apart.craft)
    home = crew_module(apart.flight.scenario)
    ship = apart.state.joined(home)
    if ship and ship != apart.craft:
        yield _docking(apart, "redocking by the ship", ship)


def _docking(apart: Apart, name: str, active: Craft) -> WayOut:
    """Return the docking of two craft beside each other by the thrusters of one."""
    beside = (MoonCoast("orbit of ship and lander", apart.orbit, active),)
    plan, shut = (
        apart.flight.scenario.rendezvous,
        WayOut(name, apart.called, apart.craft, (), DOCKED, orbits=beside),
    )
    by = next(
        (
            x
            for x in burners(apart.state, active, apart.lost)
            if x.rated(apart.state).purpose == "thrusters"
        ),
        None,
    )
    if by is None:
        return replace(shut, closed="no thrusters are left for docking")
    there = by.available(apart.state, active)
    burn = WayBurn("docking", *by.key, apart.called, plan.docking, there)
    return replace(
        shut,
        burns=(burn,),
        home=apart.called + plan.docking_time,
        closed=lacks(burn) if burn.margin < 0.0 else "",
        estimate="docking: what the plan's rendezvous allows for it, from close by",
    )
