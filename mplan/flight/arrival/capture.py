"""The burns into lunar orbit, from the arc's real perilune state."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, sqrt

from mplan.flight.arrival.turn import CIRCLE, into_plane, turned_need
from mplan.flight.lunar_orbit import apolune, field, insertion_apolune, time_to_landing
from mplan.flight.plane_change import time_to_site
from mplan.flight.state import Apse, Need, State
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import (
    ROUND,
    LunarOrbit,
    circular,
    coast,
    lunar_apsides,
    place_at,
    to_perilune,
    until_over,
    with_speed,
)
from mplan.physics.rocket import delta_v, propellant
from mplan.physics.twobody import circular_speed, conic, speed
from mplan.physics.vectors import cross, inner, length, unit
from mplan.scenario import BurnEvent, Event
from mplan.scenario.events import leg_of
from mplan.scenario.profiles import APOLUNE_CHANGE
from mplan.vehicle.ledger import main_engine

# m/s; at 110 km it moves the far side by 2 km, as far as J2 and C22 let a circle breathe.
TRIFLE = 0.5
CIRCULAR = "not flown, no start used: the orbit is circular already"
THERE = "not flown, no start used: the apolune is there already"
CAPTURE = "capture_apolune"
LONG = 0.1  # eccentricity, above which a conic tells perilune's time too roughly to burn by


def insertion(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the capture at perilune, into the capture ellipse or straight into the last orbit."""
    arrival, scenario = state.outbound.perilune, state.scenario
    at = state.until(arrival.t)
    here = length(arrival.lunar_r)
    after = speed(here, (here + insertion_apolune(scenario)) / 2.0, c.MU_MOON)
    incoming = LunarOrbit(arrival.t, arrival.lunar_r, arrival.lunar_v, field(scenario))
    if into_plane(state, ahead):
        wait = time_to_landing(scenario, [burn, *ahead])
        return turned_need(at, incoming, after, ahead, wait)
    impulse = length(arrival.lunar_v) - after
    then = at.on_orbit(with_speed(incoming, after))
    apse = Apse(here, after, c.MU_MOON, arriving=True)
    return Need(impulse, at, then, apse=apse, place=incoming.r)


def circularisation(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burn at the next perilune that makes the capture ellipse a circle.

    No burn where the capture has ended in that circle, or so near it that no engine is lit for it.
    """
    at = state.later(_to_perilune(state))
    here = length(at.orbit.r)
    after = circular_speed(here, c.MU_MOON)
    slower = length(at.orbit.v) - after
    if abs(slower) < TRIFLE:
        return Need(0.0, state, state, note=CIRCULAR, starts=0)
    if into_plane(at, ahead):
        return turned_need(at, at.orbit, after, ahead, time_to_site(at.scenario, ahead))
    then = at.on_orbit(circular(at.orbit))
    apse = Apse(here, after, c.MU_MOON, arriving=slower > 0.0)
    return Need(abs(slower), at, then, apse=apse, place=at.orbit.r)


def apolune_change(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burn that leads to another apolune: at the next perilune or, from a circle, where
    the argument of perilune that is stated lies.

    On the way down from a capture ellipse the burns that are left last equally long: for a row of
    burns of one engine that is the least sum of their losses, which grow as (impulse)3 (mass)2
    (Robbins 1966, AIAA J. 4, 1417-1423: with the square of the burn's duration).
    """
    at = state.later(_to_place(state))
    here, before = length(at.orbit.r), at.orbit.v
    level = cross(at.orbit.normal, unit(at.orbit.r))
    pace = inner(before, level)
    after = _apolune_speed(at, burn, ahead, here, pace)
    v = after * level
    impulse = length(v - before)
    if impulse < TRIFLE:
        return Need(0.0, state, state, note=THERE, starts=0)
    arriving = after < pace
    apse = Apse(here, after if arriving else pace, c.MU_MOON, arriving=arriving)
    orbit = at.orbit._replace(v=v)
    high = (lunar_apsides(orbit).apolune - c.R_MOON) / 1e3
    note = f"leads to an apolune of {high:,.0f} km"
    return Need(impulse, at, at.on_orbit(orbit), apse=apse, place=orbit.r, note=note)


def _to_place(state: State) -> float:
    """Return the time [s] to where the apolune is changed."""
    argument = state.scenario.orbits.lunar_argument_of_perilune
    if argument is None or state.orbit.e > ROUND:
        return _flown_to_perilune(state)
    wait = 0.0
    for _ in range(3):  # the circle has drifted, and its plane turns
        there = coast(state.orbit, wait)
        off = until_over(there, place_at(there, argument))
        wait += off - there.period if wait and off > there.period / 2.0 else off
    return wait


def _apolune_speed(
    at: State, burn: BurnEvent, ahead: Sequence[Event], here: float, pace: float
) -> float:
    """Return the speed [m/s] at `here` [m] after a change, from a `pace` [m/s] before it."""
    scenario = at.scenario
    if burn.apolune is not None:
        return speed(here, (here + c.R_MOON + burn.apolune) / 2.0, c.MU_MOON)
    legs = [leg_of(event) for event in ahead]
    before = legs[: legs.index(CIRCLE)] if CIRCLE in legs else legs
    left = before.count(APOLUNE_CHANGE) + (CIRCLE in legs)
    last = here if CIRCLE in legs else apolune(scenario)
    goal = speed(here, (here + last) / 2.0, c.MU_MOON)
    if not left:
        return goal
    _, engine = main_engine(scenario.elements[burn.element], burn.engine)
    mass = at.mass(at.joined(burn.element))
    share = propellant(engine.isp_vacuum, mass, pace - goal) / (left + 1)
    return pace - delta_v(engine.isp_vacuum, mass, mass - share)


def _flown_to_perilune(state: State) -> float:
    """Return the time [s] to the next perilune of a long ellipse, as Earth's pull has it."""
    try:
        return to_perilune(state.orbit)
    except ArithmeticError as problem:
        key = "lunar_apolune" if state.scenario.orbits.capture_apolune is None else CAPTURE
        value = getattr(state.scenario.orbits, key)
        text = f"found {value / 1e3:,.0f} km, where Earth's pull leaves no perilune to burn at"
        raise Unflyable(("orbits", key), f"{text}; accepted: a lower apolune") from problem


def _to_perilune(state: State) -> float:
    """Return the time [s] to the next perilune of an ellipse; zero on a circle."""
    orbit = state.orbit
    here = conic(orbit.r, orbit.v, c.MU_MOON)
    if here.e < 1e-6:
        return 0.0
    if here.e > LONG:
        return _flown_to_perilune(state)
    return -here.since_periapsis % (2.0 * pi * sqrt(here.a**3 / c.MU_MOON))
