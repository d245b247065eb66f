"""The burns into lunar orbit, from the arc's real perilune state."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, sqrt

import numpy as np

from mplan.flight.arrival.turn import into_plane, turned_need
from mplan.flight.lunar_orbit import field, time_to_landing
from mplan.flight.plane_change import time_to_site
from mplan.flight.state import Apse, Need, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, circular, with_speed
from mplan.physics.twobody import circular_speed, conic, speed
from mplan.scenario import BurnEvent, Event
from mplan.scenario.stated import stated

# m/s; at 110 km it moves the far side by 2 km, as far as J2 and C22 let a circle breathe.
TRIFLE = 0.5
CIRCULAR = "not flown, no start used: the orbit is circular already"


def insertion(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the capture at perilune, into the capture ellipse or straight into the circle."""
    arrival, scenario = state.outbound.perilune, state.scenario
    orbits = scenario.orbits
    at = state.until(arrival.t)
    here = float(np.linalg.norm(arrival.lunar_r))
    circle = stated(orbits.lunar_altitude, "orbits.lunar_altitude")
    apolune = orbits.capture_apolune or circle
    after = speed(here, (here + c.R_MOON + apolune) / 2.0, c.MU_MOON)
    incoming = LunarOrbit(arrival.t, arrival.lunar_r, arrival.lunar_v, field(scenario))
    if into_plane(state, ahead):
        wait = time_to_landing(scenario, [burn, *ahead])
        return turned_need(at, incoming, after, ahead, wait)
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
    if into_plane(at, ahead):
        return turned_need(at, at.orbit, after, ahead, time_to_site(at.scenario, ahead))
    then = at.on_orbit(circular(at.orbit))
    apse = Apse(here, after, c.MU_MOON, arriving=slower > 0.0)
    return Need(abs(slower), at, then, apse=apse, place=at.orbit.r)


def _to_perilune(orbit: LunarOrbit) -> float:
    """Return the time [s] to the next perilune of an ellipse; zero on a circle."""
    here = conic(orbit.r, orbit.v, c.MU_MOON)
    if here.e < 1e-6:
        return 0.0
    return -here.since_periapsis % (2.0 * pi * sqrt(here.a**3 / c.MU_MOON))
