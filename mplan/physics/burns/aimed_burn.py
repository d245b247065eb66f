"""What a burn out of the plane loses by taking time: flown in three dimensions about one body.

The thrust turns as gravity turns the velocity, which is steering along the velocity where the
impulse lies along it (that plane case is `finite_burn`'s), and near the optimum for burns this
short (Robbins 1966, AIAA J. 4, 1417-1423). Its first direction and its size are found so that at
the end nothing is left to gain: the craft is on its asymptote, or in its plane. When to begin is
chosen for the least velocity.
"""

from __future__ import annotations

from math import cos, expm1, sin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.burns.finite_burn import FiniteBurn
from mplan.physics.compiling import entry, source
from mplan.physics.constants import G0
from mplan.physics.rocket import burn_time, mass_flow, propellant
from mplan.physics.twobody import kepler
from mplan.physics.vectors import Vector

STEPS = 16  # of like velocity, each with a steady direction: good to 0.02 m/s
ENOUGH = 1e-3  # m/s left to gain
SHOTS = 30
LEADS = (0.4, 0.5, 0.6)  # of the burn's time, before the impulse: the best lies about there
MOST_SPENT = 4.0  # exhaust speeds: a fiftieth of the craft would be left
MOST_TURN = 1.5  # rad of the orbit in one burn: beyond, it is no burn any more
LOW_THRUST = "the thrust is too low for the burn to end in one arc"
USED_UP = "the burn would use up the craft itself"
# Kinds of velocity to have, and how a search for a burn has ended.
ASYMPTOTE, PLANE = range(2)
FOUND, TOO_MUCH, ENDLESS = range(3)


class VelocityTarget(NamedTuple):
    """The velocity to have at a place and velocity near: about a body of `mu`.

    Out along the unit vector `axis` with a `size` [m/s] far out, the long way round with a
    `sense` of -1; or in the plane about it with a `size` [J/kg], the specific energy.
    """

    kind: int
    axis: Vector
    size: float
    mu: float
    sense: float = 1.0

    def __call__(self, r: np.ndarray, v: np.ndarray) -> np.ndarray:
        """Return it [m/s] for a place [m] and a velocity [m/s], each of shape (3,)."""
        return np.array(_wanted(tuple(r.tolist()), tuple(v.tolist()), self))


class _Craft(NamedTuple):
    """Thrust [N], flow [kg/s], exhaust speed [m/s] and first mass [kg], about a body of `mu`."""

    mu: float
    thrust: float
    flow: float
    exhaust: float
    mass: float


def fly_aimed(
    r: np.ndarray,
    v: np.ndarray,
    wanted: VelocityTarget,
    mu: float,
    *,
    thrust: float,
    isp: float,
    mass: float,
) -> FiniteBurn:
    """Return the burn that takes a craft at `r` [m], `v` [m/s] to the velocity `wanted` there.

    `wanted` tells the velocity to have [m/s] at a place and velocity near. `thrust` [N], `isp`
    [s], `mass` [kg] before the burn. ArithmeticError where the thrust is too low for one arc, or
    the burn would use up the craft.
    """
    impulse = _size(_less(wanted(r, v).tolist(), v.tolist()))
    if impulse < ENOUGH:
        return FiniteBurn(impulse, 0.0, 0.0)
    duration = burn_time(thrust, isp, propellant(isp, mass, impulse))
    if duration * sqrt(mu / _size(r.tolist()) ** 3) > MOST_TURN:
        raise ArithmeticError(LOW_THRUST)
    flow, exhaust = mass_flow(thrust, isp), isp * G0
    craft = _Craft(float(mu), float(thrust), flow, exhaust, float(mass))

    def spent(lead: float) -> float:
        begin, pace = kepler(r, v, -lead * duration, mu)
        size, how = _spent(tuple(begin.tolist()), tuple(pace.tolist()), wanted, craft)
        if how != FOUND:
            raise ArithmeticError(USED_UP if how == TOO_MUCH else LOW_THRUST)
        return size

    total = spent(_lowest([spent(x) for x in LEADS]))
    return FiniteBurn(total, total - impulse, burn_time(thrust, isp, propellant(isp, mass, total)))


def _lowest(values: list[float]) -> float:
    """Return the lead at which the parabola through the values at `LEADS` is lowest."""
    a, b, c = values
    bend = a - 2.0 * b + c
    if bend <= 0.0:
        return LEADS[values.index(min(values))]
    shift = (a - c) / (2.0 * bend)
    return LEADS[1] + max(-1.0, min(1.0, shift)) * (LEADS[2] - LEADS[1])


@entry
def _spent(r: Vector, v: Vector, wanted: VelocityTarget, craft: _Craft) -> tuple[float, int]:
    """Return the velocity [m/s] that a burn spends which begins here, and how it was found."""
    axis, gain = _unit(_cross(r, v)), _less(_wanted(r, v, wanted), v)
    for _ in range(SHOTS):
        size = _size(gain)
        if size > MOST_SPENT * craft.exhaust:
            return size, TOO_MUCH
        ahead = (gain[0] / size, gain[1] / size, gain[2] / size)
        end_r, end_v, turn = _shot(r, v, ahead, size, craft)
        left = _less(_wanted(end_r, end_v, wanted), end_v)
        if _size(left) < ENOUGH:
            return size, FOUND
        # What is left is told in the directions of the end, by when the thrust has turned.
        gain = _along(gain, _turned_back(left, axis, turn), 1.0)
    return 0.0, ENDLESS


@source
def _shot(
    r: Vector, v: Vector, direction: Vector, size: float, craft: _Craft
) -> tuple[Vector, Vector, float]:
    """Return place, velocity and the turn [rad] of the thrust after a burn of `size` [m/s]."""
    place, pace, push = r, v, direction
    now, total = craft.mass, 0.0
    for _ in range(STEPS):
        dt = -expm1(-size / STEPS / craft.exhaust) * now / craft.flow
        turn = _turn(place, pace, dt, craft.mu)
        x, y, z = _rotated(push, (turn[0] / 2.0, turn[1] / 2.0, turn[2] / 2.0))
        force = (craft.thrust * x, craft.thrust * y, craft.thrust * z)
        place, pace = _moved(place, pace, force, now, dt, craft)
        push = _rotated(push, turn)
        total += _size(turn)
        now -= craft.flow * dt
    return place, pace, total


@source
def _turn(r: Vector, v: Vector, dt: float, mu: float) -> Vector:
    """Return by how much [rad] gravity alone turns a velocity, as a vector: v x g / v^2 dt."""
    x, y, z = r
    a, b, c = v
    square = x * x + y * y + z * z
    scale = -mu * dt / (square * sqrt(square) * (a * a + b * b + c * c))
    return scale * (b * z - c * y), scale * (c * x - a * z), scale * (a * y - b * x)


@source
def _rotated(u: Vector, turn: Vector) -> Vector:
    """Return a unit vector after a small turn, to the second order and of length one."""
    x, y, z = u
    a, b, c = turn
    x, y, z = x + b * z - c * y, y + c * x - a * z, z + a * y - b * x
    size = sqrt(x * x + y * y + z * z)
    return x / size, y / size, z / size


@source
def _moved(
    r: Vector, v: Vector, push: Vector, mass: float, dt: float, craft: _Craft
) -> tuple[Vector, Vector]:
    """Take one classical fourth-order Runge-Kutta step with a steady thrust [N]."""
    half, mu = dt / 2.0, craft.mu
    between = mass - craft.flow * half
    a1 = _pull(r, push, mass, mu)
    v2 = _along(v, a1, half)
    a2 = _pull(_along(r, v, half), push, between, mu)
    v3 = _along(v, a2, half)
    a3 = _pull(_along(r, v2, half), push, between, mu)
    v4 = _along(v, a3, dt)
    a4 = _pull(_along(r, v3, dt), push, mass - craft.flow * dt, mu)
    return _mean(r, dt, v, v2, v3, v4), _mean(v, dt, a1, a2, a3, a4)


@source
def _pull(r: Vector, push: Vector, mass: float, mu: float) -> Vector:
    x, y, z = r
    square = x * x + y * y + z * z
    fall = -mu / (square * sqrt(square))
    return fall * x + push[0] / mass, fall * y + push[1] / mass, fall * z + push[2] / mass


@source
def _along(start: Vector, rate: Vector, dt: float) -> Vector:
    return start[0] + dt * rate[0], start[1] + dt * rate[1], start[2] + dt * rate[2]


@source
def _mean(start: Vector, dt: float, a: Vector, b: Vector, c: Vector, d: Vector) -> Vector:
    sixth = dt / 6.0
    return (
        start[0] + sixth * (a[0] + 2.0 * (b[0] + c[0]) + d[0]),
        start[1] + sixth * (a[1] + 2.0 * (b[1] + c[1]) + d[1]),
        start[2] + sixth * (a[2] + 2.0 * (b[2] + c[2]) + d[2]),
    )


def velocity_along_asymptote(
    s: np.ndarray, v_inf: float, mu: float, *, long_way: bool = False
) -> VelocityTarget:
    """Return the velocity that leaves along the unit vector `s` with `v_inf` [m/s] far out.

    Battin 1999, ch. 11: v = (D + v_inf / 2) s + (D - v_inf / 2) r, with r the unit vector out.
    `long_way`: round by more than half a turn, falling through periapsis first; D is then negative.
    """
    sense = -1.0 if long_way else 1.0
    return VelocityTarget(ASYMPTOTE, tuple(s.tolist()), float(v_inf), float(mu), sense)


def velocity_in_plane(normal: np.ndarray, energy: float, mu: float) -> VelocityTarget:
    """Return the velocity of a specific energy [J/kg] that runs about `normal`, as steep as now.

    Level in that plane wherever the burn ends: hundredths of a degree off it, where it is long.
    """
    return VelocityTarget(PLANE, tuple(normal.tolist()), float(energy), float(mu))


@source
def _wanted(r: Vector, v: Vector, target: VelocityTarget) -> Vector:
    """Return the velocity to have [m/s] at a place and velocity."""
    if target.kind == ASYMPTOTE:
        return _outwards(r, target)
    return _in_plane(r, v, target)


@source
def _outwards(r: Vector, target: VelocityTarget) -> Vector:
    """Return the velocity out along an asymptote: Battin's two parts (see above)."""
    s, far, half = target.axis, _size(r), target.size / 2.0
    up = (r[0] / far, r[1] / far, r[2] / far)
    opening = max(1e-9, 1.0 + up[0] * s[0] + up[1] * s[1] + up[2] * s[2])
    d = target.sense * sqrt(target.mu / (opening * far) + half * half)
    a, b = d + half, d - half
    return a * s[0] + b * up[0], a * s[1] + b * up[1], a * s[2] + b * up[2]


@source
def _in_plane(r: Vector, v: Vector, target: VelocityTarget) -> Vector:
    """Return the velocity of an energy about an axis, as steep as now."""
    up, pace = _unit(r), _size(v)
    ahead, rise = _unit(_cross(target.axis, up)), v[0] * up[0] + v[1] * up[1] + v[2] * up[2]
    level = sqrt(max(0.0, pace * pace - rise * rise))
    part = sqrt(2.0 * (target.size + target.mu / _size(r))) / pace
    a, b = part * level, part * rise
    return a * ahead[0] + b * up[0], a * ahead[1] + b * up[1], a * ahead[2] + b * up[2]


@source
def _turned_back(v: Vector, axis: Vector, angle: float) -> Vector:
    """Return a vector turned about a unit axis, clockwise by `angle` [rad] (Rodrigues)."""
    near, aside = cos(angle), -sin(angle)
    along = (axis[0] * v[0] + axis[1] * v[1] + axis[2] * v[2]) * (1.0 - near)
    x, y, z = _cross(axis, v)
    return (
        v[0] * near + x * aside + axis[0] * along,
        v[1] * near + y * aside + axis[1] * along,
        v[2] * near + z * aside + axis[2] * along,
    )


@source
def _size(v: Vector) -> float:
    return sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2])


@source
def _unit(v: Vector) -> Vector:
    size = _size(v)
    return v[0] / size, v[1] / size, v[2] / size


@source
def _less(a: Vector, b: Vector) -> Vector:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


@source
def _cross(a: Vector, b: Vector) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
