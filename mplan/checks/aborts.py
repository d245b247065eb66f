"""The ways out of a failing climb at one moment of it, each with the reason where it is closed.

An estimate, for planning. The engines of the stack run on in the first seconds of a climb
(`engines_run`); later they are stopped before anything leaves.
"""

from __future__ import annotations

from functools import lru_cache
from math import acos, inf, pi
from typing import NamedTuple

import numpy as np

from mplan.checks import abort_to_orbit
from mplan.checks.climb_moment import Moment, Way
from mplan.physics import twobody
from mplan.physics.bodies import atmosphere
from mplan.physics.climb import escape
from mplan.physics.climb.escape import Caught, Row, Start, Tower
from mplan.physics.constants import ENTRY_INTERFACE, G0, MU_EARTH, R_EARTH
from mplan.physics.entry import flight as entry
from mplan.scenario import Scenario
from mplan.vehicle import escape as assembly
from mplan.vehicle import ledger, mass
from mplan.vehicle.stack import crew_on_pad, with_role

TOWER, BACK = "escape tower", "return to a splash"
TURN_ROUND = 60.0  # s to turn the heat shield into the air (common practice, no source)
FELT = 0.05 * G0  # m/s2, where the air is first felt (common practice, no source)
BLUNT = 1.3  # drag coefficient of a blunt body, where no aeroshell is stated (no source)
ON_THE_WAY = 12.0  # s of a flight on the tower away from the pad, in which a shock would overtake
OPENING = 7e3  # m, where a ballistic fall is no longer followed: parachutes


class Escaped(NamedTuple):
    """A flight on the tower: what was asked of it and what came of it; SI."""

    tower: Tower
    start: Start
    pull: float
    rows: tuple[Row, ...]
    caught: Caught | None
    tnt: float
    propellant: float
    clear: float

    @property
    def apogee(self) -> float:
        """Highest point above the start [m]."""
        return max(row.up for row in self.rows)


def ways(moment: Moment) -> tuple[Way, ...]:
    """Return every way out at a moment of the climb: tower, back to Earth, on to orbit."""
    if moment.index is None:
        return (by_tower(moment),)
    return (by_tower(moment), back(moment), *abort_to_orbit.ways(moment))


def on_tower(moment: Moment) -> Escaped | None:
    """Return the flight on the tower from a moment; None where there is no tower, or no motor."""
    found, leaving = assembly.motor(moment.scenario), assembly.tower(moment.scenario)
    if found is None or leaving is None or found[0] not in moment.stack:
        return None
    start = _start(moment, found[1].engines_run)
    home = with_role(moment.scenario, "crew module")
    left = [name for name in moment.stack if name not in (home, found[0])]
    tnt, propellant = assembly.explosive(moment.scenario, moment.tanks, left)
    above = assembly.clear(moment.scenario, moment.tanks, [*left, home])
    rows = escape.fly(leaving, start, ON_THE_WAY if moment.index else escape.LONGEST)
    ambient = atmosphere.density_pressure_sound(start.altitude)[1]
    shock = escape.caught(rows, above, found[1].warning, tnt, ambient)
    pull = escape.pull(leaving, start)
    return Escaped(leaving, start, pull, rows, shock, tnt, propellant, above)


def by_tower(moment: Moment) -> Way:
    """Return the escape tower as a way out."""
    flown = on_tower(moment)
    if flown is None:
        return Way(TOWER, "no tower that is described is in the stack")
    figure = f"pulls away at {flown.pull / G0:.1f} g"
    return Way(TOWER, tower_fails(moment, flown), figure, flown.pull)


def tower_fails(moment: Moment, flown: Escaped) -> str:
    """Return why an escape on the tower fails; "" if it does not."""
    _, asked = assembly.motor(moment.scenario)
    if flown.pull <= 0.0:
        return "the tower does not pull away: drag and the stack's own thrust are stronger"
    shock, limit = flown.caught, asked.overpressure_limit
    if shock is not None and shock.overpressure > limit:
        return f"the blast overtakes it with {shock.overpressure / 1e3:.0f} kPa"
    if moment.index is None and flown.apogee < asked.minimum_apogee:
        return f"it rises to {flown.apogee:.0f} m only, too low for its parachutes"
    return ""


def back(moment: Moment) -> Way:
    """Return the ship's leaving and a fall back to Earth as a way out."""
    scenario, i = moment.scenario, moment.index
    pressure = float(moment.track.dynamic_pressure[i])
    limit = scenario.aborts.pressure_limit
    if pressure > limit:
        text = f"the air presses with {pressure / 1e3:.1f} kPa, too much to leave without a tower"
        return Way(BACK, text)
    state = (*moment.track.r[i].tolist(), *moment.track.v[i].tolist())
    vehicle = _vehicle(scenario)
    peak, until = _fall(state, vehicle)
    figure = f"{peak / G0:.1f} g{' with lift up' if vehicle.lift_to_drag else ''}"
    if until == inf:
        return Way(BACK, "it does not come down by itself")
    if peak > scenario.aborts.peak_load * G0:
        return Way(BACK, f"the fall loads the crew with {figure}", figure)
    if until < TURN_ROUND:
        return Way(BACK, f"the air is met {until:.0f} s after leaving", figure)
    return Way(BACK, "", figure, scenario.aborts.peak_load * G0 - peak)


def _start(moment: Moment, engines_run: float) -> Start:
    """Return how the stack moves; stopped, its engines leave it to its drag."""
    if moment.index is None:
        return Start(0.0, 0.0, pi / 2.0, None)
    i, track = moment.index, moment.track
    push = float(track.acceleration[i])
    if moment.t > engines_run:
        push = min(0.0, push - float(track.thrust[i] / track.mass[i]))
    return Start(
        float(track.altitude[i]),
        float(track.airspeed[i]),
        float(track.flight_path_angle[i]),
        push,
    )


def _vehicle(scenario: Scenario) -> entry.Vehicle:
    """Return the crew module as it comes down: with lift up, if its aeroshell has lift."""
    home = with_role(scenario, "crew module")
    element, shell = scenario.elements[home], scenario.elements[home].aeroshell
    drag = BLUNT if shell is None else shell.drag_coefficient
    wide = element.diameter if shell is None else shell.diameter or element.diameter
    weighs = mass.of((home,), scenario, ledger.filled(scenario), crew_on_pad(scenario), {})
    lift = 0.0 if shell is None else shell.lift_to_drag
    return entry.Vehicle(weighs / (drag * pi / 4.0 * wide**2), lift)


@lru_cache(maxsize=256)
def _fall(state: tuple[float, ...], vehicle: entry.Vehicle) -> tuple[float, float]:
    """Return the greatest load [m/s2] of a fall, lift up, and the time to the first air [s].

    Without air up to the top of the path or down to the entry interface, whichever is lower, and
    through it from there. The time is infinite where it stays in orbit.
    """
    r, v = np.array(state[:3]), np.array(state[3:])
    orbit = twobody.conic(r, v, MU_EARTH)
    if orbit.a * (1.0 - orbit.e) > R_EARTH + ENTRY_INTERFACE:
        return 0.0, inf
    coast = _to_the_air(r, v, orbit.a, orbit.e)
    if coast > 0.0:
        r, v = twobody.kepler(r, v, coast, MU_EARTH)
    begin = (*r.tolist(), *v.tolist())
    flown = entry.fly(begin, vehicle, entry.Steering(1.0, catch=False), OPENING)
    felt = next((row.t for row in flown.rows if row.load >= FELT), flown.rows[-1].t)
    return flown.peak.load, coast + felt


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
