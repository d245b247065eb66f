"""The crew module pulled away by its escape tower: from the pad, and on the way up.

An estimate, for planning: blast and thrust are rough figures. The engines of the stack run on in
the first seconds of a climb (`engines_run`); later they are stopped before anything leaves.
"""

from __future__ import annotations

from math import pi
from typing import NamedTuple

import numpy as np

from mplan.contingencies.climb_point import AbortMode, ClimbPoint
from mplan.flight.record import Flight
from mplan.physics.bodies import atmosphere
from mplan.physics.climb import escape
from mplan.physics.climb.escape import EscapeRow, EscapeStart, ShockArrival, Tower
from mplan.physics.constants import G0
from mplan.vehicle import escape as assembly
from mplan.vehicle.stack import crew_module

TOWER = "escape tower"
ON_THE_WAY = 12.0  # s of a flight on the tower away from the pad, in which a shock would overtake


class TowerEscape(NamedTuple):
    """A flight on the tower: what was asked of it and what came of it; SI."""

    tower: Tower
    start: EscapeStart
    pull: float
    rows: tuple[EscapeRow, ...]
    overtaken: ShockArrival | None
    tnt: float
    propellant: float
    clear: float

    @property
    def apogee(self) -> float:
        """Highest point above the start [m]."""
        return max(row.up for row in self.rows)


def escape_from(point: ClimbPoint) -> TowerEscape | None:
    """Return the flight on the tower from a point; None where there is no tower, or no motor."""
    found, leaving = assembly.motor(point.scenario), assembly.tower(point.scenario)
    if found is None or leaving is None or found[0] not in point.stack:
        return None
    start, tanks = _start(point, found[1].engines_run), point.state.ledger
    home = crew_module(point.scenario)
    left = [name for name in point.stack if name not in (home, found[0])]
    tnt, propellant = assembly.explosive(point.scenario, tanks, left)
    above = assembly.clear(point.scenario, tanks, [*left, home])
    rows = escape.fly_escape(leaving, start, ON_THE_WAY if point.index else escape.LONGEST)
    ambient = atmosphere.density_pressure_sound(start.altitude)[1]
    shock = escape.shock_arrival(rows, above, found[1].warning, tnt, ambient)
    pull = escape.separation_acceleration(leaving, start)
    return TowerEscape(leaving, start, pull, rows, shock, tnt, propellant, above)


def along_climb(flight: Flight) -> dict[str, TowerEscape]:
    """Return escapes from the pad, at most dynamic pressure, and just before the jettison."""
    track = flight.end.climb.track
    thick = int(np.argmax(track.dynamic_pressure))
    late = [x for x in (ClimbPoint(flight, i) for i in range(len(track.t))) if _on_stack(x)]
    found = {
        "from the pad": escape_from(ClimbPoint(flight, None)),
        "at maximum dynamic pressure": escape_from(ClimbPoint(flight, thick)),
        "just before tower jettison": escape_from(late[-1]) if late else None,
    }
    return {name: flown for name, flown in found.items() if flown is not None}


def _on_stack(point: ClimbPoint) -> bool:
    """Tell whether the escape tower is still on the stack."""
    return any(point.scenario.elements[name].role == "escape tower" for name in point.stack)


def tower_mode(point: ClimbPoint) -> AbortMode:
    """Return the escape tower as an abort mode."""
    flown = escape_from(point)
    if flown is None:
        described = assembly.motor(point.scenario) is not None
        text = "escape tower already jettisoned" if described else "no escape tower is described"
        return AbortMode(TOWER, text)
    figure = f"pulls away at {flown.pull / G0:.1f} g"
    return AbortMode(TOWER, failure(point, flown), figure, flown.pull)


def failure(point: ClimbPoint, flown: TowerEscape) -> str:
    """Return why an escape on the tower fails; "" if it does not."""
    asked = assembly.stated_motor(point.scenario)
    if flown.pull <= 0.0:
        return "the tower does not pull away: drag and the stack's own thrust are stronger"
    shock, limit = flown.overtaken, asked.overpressure_limit
    if shock is not None and shock.overpressure > limit:
        return f"the blast overtakes it with {shock.overpressure / 1e3:.1f} kPa"
    if point.index is None and flown.apogee < asked.minimum_apogee:
        return f"it rises to {flown.apogee:.0f} m only, too low for its parachutes"
    return ""


def _start(point: ClimbPoint, engines_run: float) -> EscapeStart:
    """Return how the stack moves; stopped, its engines leave it to its drag."""
    if point.index is None:
        return EscapeStart(0.0, 0.0, pi / 2.0, None)
    i, track = point.index, point.track
    push = float(track.acceleration[i])
    if point.t > engines_run:
        push = min(0.0, push - float(track.thrust[i] / track.mass[i]))
    return EscapeStart(
        float(track.altitude[i]),
        float(track.airspeed[i]),
        float(track.flight_path_angle[i]),
        push,
    )
