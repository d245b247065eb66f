"""A crew module pulled off a stack by its escape tower: thrust, drag, gravity, in one plane.

A point mass over flat ground in still air of the 1976 standard. Its motor thrusts along the path
of the stack at ignition, turned aside by the side thrust, and holds that direction: the tower is
taken to be steady. Neglected: turning of the tower, ignition delay, growth of thrust with height
(on the safe side), lift. The stack goes on as it moved at ignition, its engines running, or
stands on the pad.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import atan2, cos, hypot, sin
from typing import NamedTuple

from mplan.physics.bodies.atmosphere import density_pressure_sound
from mplan.physics.climb import blast
from mplan.physics.constants import G0

STEP, COASTING, SLIGHT = 0.1, 0.5, 1e-9  # s
THIN = 100.0  # Pa, the air at 48 km (1976 standard)
Three = tuple[float, float, float]
Four = tuple[float, float, float, float]
LONGEST = 300.0  # s, more than any climb of a tower takes


class Tower(NamedTuple):
    """Tower and crew module: `mass` and motor's `propellant` [kg], forces [N], times [s].

    `thrust` is along the tower, `side` across it, `drag_area` Cd A [m2].
    """

    mass: float
    propellant: float
    thrust: float
    side: float
    burn_time: float
    tail_off: float
    drag_area: float

    @property
    def burn_out(self) -> float:
        """When thrust has faded to nothing [s]."""
        return self.burn_time + self.tail_off

    @property
    def thrust_to_weight(self) -> float:
        """Thrust along the tower against weight at the ground."""
        return self.thrust / (self.mass * G0)

    def level(self, t: float) -> float:
        """Return the share of full thrust at `t` [s] after ignition."""
        if t < self.burn_time:
            return 1.0
        return max(0.0, (self.burn_out - t) / self.tail_off) if self.tail_off else 0.0

    def burned(self, t: float) -> float:
        """Return the propellant [kg] spent by `t` [s], in step with the thrust."""
        whole = self.burn_time + self.tail_off / 2.0
        fading = min(max(0.0, t - self.burn_time), self.tail_off)
        past = min(t, self.burn_time) + fading
        if self.tail_off:
            past -= fading**2 / (2.0 * self.tail_off)
        return self.propellant * past / whole


class EscapeStart(NamedTuple):
    """The stack at ignition: altitude [m], speed through the air [m/s], path above level [rad].

    `push` [m/s2] is what it feels along its path; None on the pad, where it stands.
    """

    altitude: float
    speed: float
    angle: float
    push: float | None


class EscapeRow(NamedTuple):
    """One moment: time [s], place over the start, its velocity, distance from the stack [m].

    `aside` [m] is the part of that distance across the path of the stack.
    """

    t: float
    along: float
    up: float
    along_speed: float
    up_speed: float
    away: float
    aside: float


class ShockArrival(NamedTuple):
    """Where the shock overtakes: time since ignition [s], distance [m], overpressure [Pa]."""

    t: float
    distance: float
    overpressure: float


def separation_acceleration(tower: Tower, start: EscapeStart) -> float:
    """Return how fast the module draws away at ignition [m/s2]: thrust less drag, less the stack.

    Not above zero, it stays stuck to the stack.
    """
    density = density_pressure_sound(start.altitude)[0]
    drag = 0.5 * density * start.speed**2 * tower.drag_area
    felt = G0 if start.push is None else start.push
    return (tower.thrust - drag) / tower.mass - felt


@lru_cache(maxsize=64)
def fly_escape(tower: Tower, start: EscapeStart, longest: float = LONGEST) -> tuple[EscapeRow, ...]:
    """Fly from ignition to the highest point, or for `longest` [s] if that comes before.

    Runge-Kutta of fourth order, steps of 0.1 s; halving them moves the highest point by less
    than 1 m.
    """
    state = (0.0, 0.0, start.speed * cos(start.angle), start.speed * sin(start.angle))
    aim = start.angle - atan2(tower.side, tower.thrust)
    force = hypot(tower.thrust, tower.side)
    way = (force * cos(aim), force * sin(aim), start.altitude)
    t, rows = 0.0, [_row(0.0, state, start)]
    while t < longest and (t < tower.burn_out or state[3] > 0.0):
        size = _size(t, tower)
        state = _step(t, state, size, tower, way)
        t += size
        rows.append(_row(t, state, start))
    return tuple(rows)


def shock_arrival(
    rows: Sequence[EscapeRow], clear: float, warning: float, tnt: float, ambient: float
) -> ShockArrival | None:
    """Return where the shock overtakes the module, None if it does not before the highest point.

    `tnt` [kg] explodes `warning` [s] after ignition, `clear` [m] below the module's first place,
    in air of `ambient` pressure [Pa]; what explodes goes on as the stack did. Air too thin to
    carry a shock carries none.
    """
    if tnt <= 0.0 or ambient < THIN:
        return None
    for row in rows:
        distance = row.away + clear
        if row.t >= warning and blast.arrival(distance, tnt) <= row.t - warning:
            return ShockArrival(row.t, distance, blast.overpressure(distance, tnt, ambient))
    return None


def _row(t: float, state: Four, start: EscapeStart) -> EscapeRow:
    """Return a moment; the stack's own motion is taken away for the distance."""
    x, y, u, v = state
    if start.push is None:
        ahead, drop = 0.0, 0.0
    else:
        ahead, drop = start.speed * t + start.push * t * t / 2.0, G0 * t * t / 2.0
    c, s = cos(start.angle), sin(start.angle)
    dx, dy = x - ahead * c, y - ahead * s + drop
    return EscapeRow(t, x, y, u, v, hypot(dx, dy), abs(dx * s - dy * c))


def _size(t: float, tower: Tower) -> float:
    """Return the next step [s]; none leads past the end of the full thrust or of the tail."""
    for edge in (tower.burn_time, tower.burn_out):
        if t < edge - SLIGHT:
            return min(STEP, edge - t)
    return COASTING


def _step(t: float, state: Four, size: float, tower: Tower, way: Three) -> Four:
    """Return the state one Runge-Kutta step on; plain floats, for speed."""
    x, y, u, v = state
    half = size / 2.0
    early, middle, late = (
        _forces(t, tower),
        _forces(t + half, tower),
        _forces(t + size - SLIGHT, tower),  # thrust as it is before it ends
    )
    a1, b1 = _pull(y, u, v, early, tower.drag_area, way)
    u2, v2 = u + half * a1, v + half * b1
    a2, b2 = _pull(y + half * v, u2, v2, middle, tower.drag_area, way)
    u3, v3 = u + half * a2, v + half * b2
    a3, b3 = _pull(y + half * v2, u3, v3, middle, tower.drag_area, way)
    u4, v4 = u + size * a3, v + size * b3
    a4, b4 = _pull(y + size * v3, u4, v4, late, tower.drag_area, way)
    sixth = size / 6.0
    return (
        x + sixth * (u + 2.0 * (u2 + u3) + u4),
        y + sixth * (v + 2.0 * (v2 + v3) + v4),
        u + sixth * (a1 + 2.0 * (a2 + a3) + a4),
        v + sixth * (b1 + 2.0 * (b2 + b3) + b4),
    )


def _forces(t: float, tower: Tower) -> tuple[float, float]:
    """Return the share of full thrust, and the mass [kg]."""
    return tower.level(t), tower.mass - tower.burned(t)


def _pull(
    up: float, u: float, v: float, forces: tuple[float, float], area: float, way: Three
) -> tuple[float, float]:
    """Return the acceleration [m/s2] along and up: thrust, drag and standard gravity."""
    level, mass = forces
    back = 0.5 * density_pressure_sound(way[2] + up)[0] * hypot(u, v) * area
    return (level * way[0] - back * u) / mass, (level * way[1] - back * v) / mass - G0
