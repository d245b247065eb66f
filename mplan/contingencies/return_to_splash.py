"""The ship leaves a failing climb and falls back to Earth: loads, and time to turn round.

An estimate, for planning: the fall is flown with full lift up where the crew module has lift.
"""

from __future__ import annotations

from functools import lru_cache
from math import acos, inf, pi

import numpy as np

from mplan.contingencies.climb_point import AbortMode, ClimbPoint
from mplan.flight.state import State
from mplan.physics import twobody
from mplan.physics.constants import ENTRY_INTERFACE, G0, MU_EARTH, R_EARTH
from mplan.physics.entry import entry_flight
from mplan.vehicle.stack import crew_module

BACK = "return to a splash"
TURN_ROUND = 60.0  # s to turn the heat shield into the air (common practice, no source)
FELT = 0.05 * G0  # m/s2, where the air is first felt (common practice, no source)
BLUNT = 1.3  # drag coefficient of a blunt body, where no aeroshell is stated (no source)
OPENING = 7e3  # m, where a ballistic fall is no longer followed: parachutes


def splash_mode(point: ClimbPoint) -> AbortMode:
    """Return the ship's leaving and a fall back to Earth as an abort mode."""
    scenario, i = point.scenario, point.index
    pressure = float(point.track.dynamic_pressure[i])
    if pressure > scenario.aborts.pressure_limit:
        text = f"dynamic pressure {pressure / 1e3:.1f} kPa, too high to leave without a tower"
        return AbortMode(BACK, text)
    here = (*point.track.r[i].tolist(), *point.track.v[i].tolist())
    vehicle = falling(point.state)
    peak, until = fall(here, vehicle)
    figure = f"{peak / G0:.1f} g{' with full lift up' if vehicle.lift_to_drag else ''}"
    if until == inf:
        return AbortMode(BACK, "it does not come down by itself")
    if peak > scenario.aborts.peak_load * G0:
        return AbortMode(BACK, f"the fall loads the crew with {figure}", figure)
    if until < TURN_ROUND:
        return AbortMode(BACK, f"the air is met {until:.0f} s after leaving", figure)
    return AbortMode(BACK, "", figure, scenario.aborts.peak_load * G0 - peak)


def falling(state: State) -> entry_flight.EntryVehicle:
    """Return the crew module as it comes down: with lift up, if its aeroshell has lift."""
    home = crew_module(state.scenario)
    element, shell = state.scenario.elements[home], state.scenario.elements[home].aeroshell
    drag = BLUNT if shell is None else shell.drag_coefficient
    wide = element.diameter if shell is None else shell.diameter or element.diameter
    lift = 0.0 if shell is None else shell.lift_to_drag
    return entry_flight.EntryVehicle(state.mass((home,)) / (drag * pi / 4.0 * wide**2), lift)


def fall(here: tuple[float, ...], vehicle: entry_flight.EntryVehicle) -> tuple[float, float]:
    """Return the greatest load [m/s2] of a fall, lift up, and the time to the first air [s].

    Without air up to the top of the path or down to the entry interface, whichever is lower, and
    through it from there. The time is infinite where it stays in orbit.
    """
    found = fallen(here, vehicle)
    if found is None:
        return 0.0, inf
    coast, flown = found
    felt = next((row.t for row in flown.rows if row.load >= FELT), flown.rows[-1].t)
    return flown.peak.load, coast + felt


@lru_cache(maxsize=256)
def fallen(
    here: tuple[float, ...], vehicle: entry_flight.EntryVehicle
) -> tuple[float, entry_flight.EntryFlight] | None:
    """Return how long a fall from a state goes without air [s], and how it is flown through it.

    None where it stays in orbit.
    """
    r, v = np.array(here[:3]), np.array(here[3:])
    orbit = twobody.conic(r, v, MU_EARTH)
    if orbit.a * (1.0 - orbit.e) > R_EARTH + ENTRY_INTERFACE:
        return None
    coast = _to_the_air(r, v, orbit.a, orbit.e)
    if coast > 0.0:
        r, v = twobody.kepler(r, v, coast, MU_EARTH)
    begin = (*r.tolist(), *v.tolist())
    steering = entry_flight.EntrySteering(1.0, pull_out=False)
    return coast, entry_flight.fly_entry(begin, vehicle, steering, OPENING)


def _to_the_air(r: np.ndarray, v: np.ndarray, a: float, e: float) -> float:
    """Return the time [s] from a state to the top of its path, or to the interface below it."""
    radius, rising = float(np.linalg.norm(r)), float(r @ v) > 0.0
    period = twobody.period(a, MU_EARTH)
    cosine = (a * (1.0 - e * e) / radius - 1.0) / e
    here = acos(max(-1.0, min(1.0, cosine)))
    now = twobody.time_since_periapsis(a, e, here if rising else -here, MU_EARTH)
    edge = R_EARTH + ENTRY_INTERFACE
    if a * (1.0 + e) <= edge:
        return max(0.0, period / 2.0 - now) if rising else 0.0
    if radius <= edge and not rising:
        return 0.0
    down = twobody.true_anomaly_at(edge, a, e)
    then = period - twobody.time_since_periapsis(a, e, down, MU_EARTH)
    return then - (now if rising else period + now)
