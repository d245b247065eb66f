"""From lunar orbit to the ground: the descent-orbit burn, and an estimate of the rest.

The braking is level flight at the mean thrust acceleration; from 150 m/s down to touchdown the
scenario's allowance stands for approach, redesignation and hover. Crew safety rests on this leg:
the figures are a planning study's, to be replaced by a flown descent before anything is built.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

import numpy as np

from mplan.flight import lunar_orbit
from mplan.flight.state import Apse, Need, State
from mplan.physics import constants as c
from mplan.physics import selenography
from mplan.physics.level_flight import LevelBurn, change_speed
from mplan.physics.lunar_orbit import until_over
from mplan.physics.rocket import propellant
from mplan.physics.twobody import hohmann, plane_change, speed
from mplan.scenario import Burn, Event
from mplan.vehicle.ledger import main_engine, thrust

APPROACH_SPEED = 150.0  # m/s, where braking ends: NASA TN D-6846 has 506 ft/s (from memory)
ESTIMATE = "level braking in closed form, plus allowances.approach_and_landing"


def site(state: State) -> np.ndarray:
    """Return the landing site now [m], from the Moon's centre."""
    place = state.scenario.landing_site
    return selenography.site(place.latitude, place.longitude, state.t, place.elevation)


def orbit_insertion(state: State, burn: Burn, ahead: Sequence[Event]) -> Need:
    """Return the burn, half a revolution before braking, down to the descent perilune."""
    at = state
    braking, _ = _braking(state, burn)
    lead = pi + braking.distance / lunar_orbit.radius(state.scenario)
    for _ in range(2):  # the site moves on while the ship waits
        ahead_of = until_over(state.orbit, site(at), lead=lead)
        at = state.later(ahead_of)
    low = c.R_MOON + state.scenario.orbits.descent_perilune
    high = float(np.linalg.norm(at.orbit.r))
    impulse = abs(hohmann(high, low, c.MU_MOON).burns[0])
    after = speed(high, (high + low) / 2.0, c.MU_MOON)
    apse = Apse(high, after, c.MU_MOON, arriving=True)
    return Need(impulse, at, at, apse=apse, place=at.orbit.r)


def coast_time(state: State) -> float:
    """Return the time [s] from the descent-orbit burn to its perilune."""
    low = c.R_MOON + state.scenario.orbits.descent_perilune
    return hohmann(lunar_orbit.radius(state.scenario), low, c.MU_MOON).duration


def powered(state: State, burn: Burn, ahead: Sequence[Event]) -> Need:
    """Return the braking and landing, with the turn that the site's place off the plane costs."""
    braking, trouble = _braking(state, burn)
    fast = _perilune_speed(state)
    off = state.orbit.angle_off(site(state))
    losses = {
        "gravity": braking.delta_v - (fast - APPROACH_SPEED),
        "approach": state.scenario.allowances.approach_and_landing - APPROACH_SPEED,
        "plane": plane_change(fast, off),
    }
    note = f"the site lies {abs(off) / c.DEG:.2f} deg off the orbit's plane"
    return Need(
        fast,
        state,
        state,
        losses,
        estimate=ESTIMATE,
        note=note,
        place=site(state),
        trouble=trouble,
    )


def _perilune_speed(state: State) -> float:
    low = c.R_MOON + state.scenario.orbits.descent_perilune
    return speed(low, (low + lunar_orbit.radius(state.scenario)) / 2.0, c.MU_MOON)


def _braking(state: State, burn: Burn) -> tuple[LevelBurn, str]:
    """Return the level braking at the acceleration the craft has when half the speed is gone.

    Where the thrust does not carry the weight, a braking without losses and the reason.
    """
    _, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    fast = _perilune_speed(state)
    full = state.mass(state.joined(burn.element))
    midway = full - propellant(engine.isp_vacuum, full, (fast - APPROACH_SPEED) / 2.0)
    low = c.R_MOON + state.scenario.orbits.descent_perilune
    try:
        return change_speed(APPROACH_SPEED, fast, thrust(engine) / midway, low, c.MU_MOON), ""
    except ArithmeticError as problem:
        return LevelBurn(fast - APPROACH_SPEED, 0.0), str(problem)
