"""Off the Moon into the insertion orbit: an estimate until the ascent is flown.

A vertical rise, then level flight at the acceleration midway through it. The lift-off waits for
the ship in orbit to come over, and pays for the angle by which the site has left its plane.
"""

from __future__ import annotations

from collections.abc import Sequence

from mplan.flight.descent import site
from mplan.flight.state import Need, State
from mplan.physics import constants as c
from mplan.physics.level_flight import LevelBurn, change_speed
from mplan.physics.lunar_orbit import until_over
from mplan.physics.rocket import propellant
from mplan.physics.twobody import plane_change, speed
from mplan.scenario import Burn, Event
from mplan.vehicle.ledger import main_engine, thrust

RISE = 10.0  # s of vertical flight before pitching over: NASA TN D-6846 (from memory)
ESTIMATE = "vertical rise of 10 s and level flight, in closed form"


def ascent(state: State, burn: Burn, ahead: Sequence[Event]) -> Need:
    """Return the ascent to the perilune of the insertion orbit, lifting off as the ship passes."""
    scenario, orbits = state.scenario, state.scenario.orbits
    at = state.later(until_over(state.orbit, site(state)))
    low, high = c.R_MOON + orbits.ascent_perilune, c.R_MOON + orbits.ascent_apolune
    fast = speed(low, (low + high) / 2.0, c.MU_MOON)
    _, engine = main_engine(scenario.elements[burn.element], burn.engine)
    full = state.mass(state.joined(burn.element))
    midway = full - propellant(engine.isp_vacuum, full, fast / 2.0)
    try:
        level, trouble = change_speed(0.0, fast, thrust(engine) / midway, low, c.MU_MOON), ""
    except ArithmeticError as problem:
        level, trouble = LevelBurn(fast, 0.0), str(problem)
    off = at.orbit.angle_off(site(at))
    losses = {
        "gravity": level.delta_v - fast + RISE * c.MU_MOON / c.R_MOON**2,
        "plane": plane_change(fast, off),
    }
    note = f"the site lies {abs(off) / c.DEG:.2f} deg off the ship's plane"
    return Need(fast, at, at, losses, estimate=ESTIMATE, note=note, place=site(at), trouble=trouble)
