"""Into lunar orbit and round it: from the arc's real perilune state."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, pi, sqrt

import numpy as np

from mplan.flight.state import Apse, Need, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, circular, with_speed
from mplan.physics.twobody import circular_speed, conic, speed
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.profiles import PLANE_CHANGE
from mplan.scenario.stated import stated

TRIFLE = 0.1  # m/s; at 110 km it moves the far side by 0.4 km (common practice, no source)
CIRCULAR = "not flown, no start used: the orbit is circular already"


def radius(scenario: Scenario) -> float:
    """Return the radius [m] of the planned circular lunar orbit."""
    return c.R_MOON + stated(scenario.orbits.lunar_altitude, "orbits.lunar_altitude")


def revolution(scenario: Scenario) -> float:
    """Return the period [s] of the planned circular lunar orbit."""
    return 2.0 * pi * sqrt(radius(scenario) ** 3 / c.MU_MOON)


def capture_revolution(scenario: Scenario) -> float:
    """Return the period [s] of the ellipse that the insertion ends in."""
    low = radius(scenario)
    high = c.R_MOON + stated(scenario.orbits.capture_apolune, "orbits.capture_apolune")
    return 2.0 * pi * sqrt(((low + high) / 2.0) ** 3 / c.MU_MOON)


def time_to_landing(scenario: Scenario, ahead: Sequence[Event]) -> float:
    """Return the time [s] from perilune to touchdown that the events foresee.

    The wait for the site to come round is taken as half a revolution; landing an hour off
    would put the site 0.5 degrees further round and, near the equator, hardly out of the plane.
    """
    times, counting, far = 0.0, False, False
    for event in ahead:
        leg = event.leg if event.do == "burn" else None
        if leg == "lunar-orbit insertion":
            counting, far = True, scenario.orbits.capture_plane_change is not None
        elif event.do == "land":
            return times
        elif counting and leg == "descent-orbit insertion":
            times += revolution(scenario)
        elif counting and leg == PLANE_CHANGE:
            times = _next(times, scenario, 0.5) if far else times + revolution(scenario) / 2.0
        elif far and leg == "lunar-orbit circularisation":
            times, far = _next(times, scenario, 0.0), False
        elif counting:
            times += getattr(event, "duration", None) or 0.0
    return times


def _next(elapsed: float, scenario: Scenario, part: float) -> float:
    """Return when, not before `elapsed` [s], wholes and a `part` of the ellipse are flown [s]."""
    whole = capture_revolution(scenario)
    return whole * (part + max(0, ceil(elapsed / whole - part - 1e-6)))


def insertion(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the capture at perilune, into the capture ellipse or straight into the circle."""
    arrival, orbits = state.outbound.perilune, state.scenario.orbits
    at = state.until(arrival.t)
    here = float(np.linalg.norm(arrival.lunar_r))
    circle = stated(orbits.lunar_altitude, "orbits.lunar_altitude")
    apolune = orbits.capture_apolune or circle
    after = speed(here, (here + c.R_MOON + apolune) / 2.0, c.MU_MOON)
    incoming = LunarOrbit(arrival.t, arrival.lunar_r, arrival.lunar_v)
    impulse = float(np.linalg.norm(arrival.lunar_v)) - after
    then = at.on_orbit(with_speed(incoming, after))
    apse = Apse(here, after, c.MU_MOON, arriving=True)
    return Need(impulse, at, then, apse=apse, place=incoming.r)


def circularisation(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burn at the next perilune that makes the capture ellipse a circle.

    No burn where the capture has ended in that circle, or so near it that no engine is lit for it.
    """
    at = state.later(_to_perilune(state.orbit))
    here = float(np.linalg.norm(at.orbit.r))
    after = circular_speed(here, c.MU_MOON)
    slower = float(np.linalg.norm(at.orbit.v)) - after
    if abs(slower) < TRIFLE:
        return Need(0.0, state, state, note=CIRCULAR, starts=0)
    then = at.on_orbit(circular(at.orbit))
    apse = Apse(here, after, c.MU_MOON, arriving=slower > 0.0)
    return Need(abs(slower), at, then, apse=apse, place=at.orbit.r)


def _to_perilune(orbit: LunarOrbit) -> float:
    """Return the time [s] to the next perilune of an ellipse; zero on a circle."""
    here = conic(orbit.r, orbit.v, c.MU_MOON)
    if here.e < 1e-6:
        return 0.0
    return -here.since_periapsis % (2.0 * pi * sqrt(here.a**3 / c.MU_MOON))
