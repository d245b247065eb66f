"""From the pad to the parking orbit: an estimate until the climb is flown.

The ideal velocity is the orbit's, less what the turning ground gives, and the losses the
scenario states. Every stage but the last burns out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, hypot, sin

from mplan.flight import launch
from mplan.flight.state import Need, State
from mplan.physics import constants as c
from mplan.physics.earth import geocentric_latitude, surface_radius
from mplan.physics.rocket import delta_v
from mplan.physics.twobody import circular_speed
from mplan.scenario import Burn, Event, Scenario
from mplan.vehicle.ledger import main_engine

ESTIMATE = "orbital speed less the ground's, plus the losses stated in allowances.climb_losses"


def climb(state: State, burn: Burn, ahead: Sequence[Event]) -> Need:
    """Return what one stage gives to the climb: all it has, or what is left to gain."""
    scenario = state.scenario
    left = state.climb_left
    last = not any(event.do == "burn" and event.leg == "climb" for event in ahead)
    gain = left if last else min(left, _all_of(state, burn))
    losses = scenario.allowances.climb_losses * gain / speed_to_gain(scenario)
    then = replace(state, climb_left=left - gain)
    return Need(gain - losses, state, then, {"climb": losses}, estimate=ESTIMATE)


def speed_to_gain(scenario: Scenario) -> float:
    """Return the ideal velocity of the whole climb [m/s], losses included."""
    radius = c.R_EARTH + scenario.orbits.parking_altitude
    orbital = circular_speed(radius, c.MU_EARTH)
    site = scenario.launch_site
    latitude = geocentric_latitude(site.latitude)
    ground = c.W_EARTH * surface_radius(sin(latitude)) * cos(latitude)
    along = launch.azimuth(scenario)
    east, north = orbital * sin(along) - ground, orbital * cos(along)
    return hypot(east, north) + scenario.allowances.climb_losses


def _all_of(state: State, burn: Burn) -> float:
    """Return the delta-v [m/s] of all that a stage can draw."""
    _, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    before = state.mass(state.joined(burn.element))
    usable = state.ledger.usable(burn.element, engine)
    return delta_v(engine.isp_vacuum, before, before - usable)
