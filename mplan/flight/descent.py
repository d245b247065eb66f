"""From lunar orbit to the ground: the descent-orbit burn and the powered descent, both flown.

The descent-orbit burn is placed so that ignition for the powered descent falls due a few seconds
after perilune and leads to the site. Crew safety rests on this leg: the figures are a planning
study's, no guidance design and no flight approval.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

import numpy as np

from mplan.flight import lunar_orbit
from mplan.flight.state import Apse, Need, NotYet, State
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast, lowered, perilune_ahead, until_over
from mplan.physics.bodies import lunar_axes, selenography
from mplan.physics.landing.descent import (
    DescentFlight,
    DescentProfile,
    Lander,
    braking_angle,
    fly_descent,
)
from mplan.physics.rocket import propellant
from mplan.physics.twobody import hohmann, speed
from mplan.physics.vectors import length
from mplan.scenario import BurnEvent, Event, Scenario, heights
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import main_engine, thrust

OVER = 1e-3  # s, 2 m of the way: near enough to where the burn is wanted
AFTER_PERILUNE = 10.0  # s: what the plan misses by is then still ahead when the coast ends


def site(state: State, later: float = 0.0) -> np.ndarray:
    """Return the landing site [m] from the Moon's centre, `later` [s] than now."""
    place = state.scenario.site
    t = state.t + later
    return selenography.site_position(place.latitude, place.longitude, t, place.elevation)


def way(scenario: Scenario) -> DescentProfile:
    """Return how the scenario has its lander come down."""
    plan = scenario.descent
    return DescentProfile(
        trim=plan.trim_time,
        braking=plan.braking_throttle,
        high_altitude=plan.high_gate_altitude,
        high_speed=plan.high_gate_speed,
        high_sink=plan.high_gate_sink,
        low_altitude=plan.low_gate_altitude,
        low_speed=plan.low_gate_speed,
        low_sink=plan.low_gate_sink,
        hover_altitude=plan.hover_altitude,
        hover=plan.hover_time,
        redesignation=plan.redesignation,
        touchdown_speed=plan.touchdown_speed,
    )


def lander(state: State, burn: BurnEvent, spent: float = 0.0) -> Lander:
    """Return what comes down on a burn's engine, once `spent` [m/s] have gone before."""
    _, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    full = state.mass(state.joined(burn.element))
    used, most = propellant(engine.isp_vacuum, full, spent), thrust(engine)
    least = most * (1.0 if engine.throttle_min is None else engine.throttle_min)
    usable = state.ledger.usable(burn.element, engine) - used
    return Lander(full - used, most, least, engine.isp_vacuum, usable)


def orbit_insertion(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burn down to the descent perilune, placed for the landing on the site."""
    low = heights.descent_perilune(state.scenario)
    high = lunar_orbit.circle(state)
    transfer = hohmann(high, low, c.MU_MOON)
    angle = _to_site(state, lander(state, burn, abs(transfer.burns[0])))
    falling = transfer.duration + AFTER_PERILUNE
    lead = pi + angle + AFTER_PERILUNE * _perilune_speed(state) / low
    at = _before_site(state, lead, falling)
    lander_orbit = lowered(at.orbit, low)
    impulse = length(lander_orbit.v - at.orbit.v)
    after, high = (length(x) for x in (lander_orbit.v, at.orbit.r))
    apse = Apse(high, after, c.MU_MOON, arriving=True)
    return Need(impulse, at, at.with_lander(lander_orbit), apse=apse, place=at.orbit.r)


def _before_site(state: State, lead: float, falling: float) -> State:
    """Return the state when the ship next stands `lead` [rad] before the site.

    Before where that will be `falling` [s] later. An orbit that has drifted is no circle, and the
    site moves on while the ship waits: what is left is flown on, or back.
    """
    at = state
    for step in range(4):
        period = at.orbit.period
        wait = until_over(at.orbit, site(at, falling), lead=lead)
        late = step > 0 and wait > period / 2.0 and at.t + wait - period >= state.t
        step_on = wait - period if late else wait
        at = at.later(step_on)
        if abs(step_on) < OVER:
            break
    return at


def _to_site(state: State, craft: Lander) -> float:
    """Return the angle [rad] from ignition to the site, zero where no braking is found."""
    scenario = state.scenario
    low = heights.descent_perilune(scenario)
    spin = lunar_axes.site_axes(site(state), state.orbit.normal, state.t).spin
    over_ground = _perilune_speed(state) - spin[1] * low
    level = (0.0, 0.0, low, over_ground, 0.0, 0.0)
    try:
        return braking_angle(level, craft, way(scenario), heights.ground(scenario), spin)
    except ArithmeticError:
        return 0.0  # the powered descent has the same trouble, and tells it


def coast_time(state: State, index: int) -> float:
    """Return the time [s] to the lander's next perilune.

    Raises Unflyable for the event with this `index` where no burn has set the lander on its way.
    """
    orbit = state.lander
    if orbit is None:
        raise Unflyable(("events", index), "no descent-orbit insertion comes before this coast")
    return (perilune_ahead(orbit).t - state.t) % orbit.period


def powered(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the descent flown to the site, with the turn that its place off the plane costs."""
    if state.lander is None:
        raise NotYet("there is not yet a descent orbit")
    place, orbit = site(state), coast(state.lander, state.t - state.lander.t)
    off = abs(orbit.angle_off(place)) / c.DEG
    begins = heights.of_descent(state.scenario)
    note = f"the site lies {off:.2f} deg off the orbit's plane; planned from {begins}"
    try:
        flown = _landed(state, burn, orbit, place)
    except ArithmeticError as problem:
        fast = _perilune_speed(state)
        return Need(fast, state, state, note=note, place=place, trouble=str(problem))
    at = state.later(flown.late)
    return Need(
        flown.speed_at_ignition,
        at,
        evolved(at.with_lander(None), descent=flown),
        flown.losses,
        note=note,
        place=place,
        duration=flown.duration,
    )


def _landed(state: State, burn: BurnEvent, orbit: LunarOrbit, place: np.ndarray) -> DescentFlight:
    axes = lunar_axes.site_axes(place, orbit.normal, state.t)
    start = axes.turning(orbit.r, orbit.v)
    craft = lander(state, burn)
    return fly_descent(start, craft, way(state.scenario), heights.ground(state.scenario), axes.spin)


def _perilune_speed(state: State) -> float:
    low = heights.descent_perilune(state.scenario)
    return speed(low, (low + lunar_orbit.circle(state)) / 2.0, c.MU_MOON)
