"""What a burn out of the plane loses by taking time: flown in three dimensions about one body.

The thrust turns as gravity turns the velocity, which is steering along the velocity where the
impulse lies along it (that plane case is `finite_burn`'s), and near the optimum for burns this
short (Robbins 1966, AIAA J. 4, 1417-1423). Its first direction and its size are found so that at
the end nothing is left to gain: the craft is on its asymptote, or in its plane. When to begin is
chosen for the least velocity.
"""

from __future__ import annotations

from collections.abc import Callable
from math import expm1, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.burns.finite_burn import FiniteBurn
from mplan.physics.constants import G0
from mplan.physics.rocket import burn_time, mass_flow, propellant
from mplan.physics.twobody import kepler
from mplan.physics.vectors import Vector, cross, turned, unit

STEPS = 16  # of like velocity, each with a steady direction: good to 0.02 m/s
ENOUGH = 1e-3  # m/s left to gain
SHOTS = 30
LEADS = (0.4, 0.5, 0.6)  # of the burn's time, before the impulse: the best lies about there
MOST_SPENT = 4.0  # exhaust speeds: a fiftieth of the craft would be left
MOST_TURN = 1.5  # rad of the orbit in one burn: beyond, it is no burn any more
LOW_THRUST = "the thrust is too low for the burn to end in one arc"

VelocityTarget = Callable[[np.ndarray, np.ndarray], np.ndarray]


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
    impulse = float(np.linalg.norm(wanted(r, v) - v))
    if impulse < ENOUGH:
        return FiniteBurn(impulse, 0.0, 0.0)
    duration = burn_time(thrust, isp, propellant(isp, mass, impulse))
    if duration * sqrt(mu / float(np.linalg.norm(r)) ** 3) > MOST_TURN:
        raise ArithmeticError(LOW_THRUST)
    craft = _Craft(mu, thrust, mass_flow(thrust, isp), isp * G0, mass)

    def spent(lead: float) -> float:
        return _spent(*kepler(r, v, -lead * duration, mu), wanted, craft)

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


def _spent(r: np.ndarray, v: np.ndarray, wanted: VelocityTarget, craft: _Craft) -> float:
    """Return the velocity [m/s] that a burn spends which begins here."""
    axis, gain = unit(cross(r, v)), wanted(r, v) - v
    for _ in range(SHOTS):
        size = float(np.linalg.norm(gain))
        if size > MOST_SPENT * craft.exhaust:
            raise ArithmeticError("the burn would use up the craft itself")
        end_r, end_v, turn = _shot(r, v, gain / size, size, craft)
        left = wanted(end_r, end_v) - end_v
        if float(np.linalg.norm(left)) < ENOUGH:
            return size
        # What is left is told in the directions of the end, by when the thrust has turned.
        gain = gain + turned(left, axis, -turn)
    raise ArithmeticError(LOW_THRUST)


def _shot(
    r: np.ndarray, v: np.ndarray, direction: np.ndarray, size: float, craft: _Craft
) -> tuple[np.ndarray, np.ndarray, float]:
    """Return place, velocity and the turn [rad] of the thrust after a burn of `size` [m/s]."""
    place, pace, push = tuple(r.tolist()), tuple(v.tolist()), tuple(direction.tolist())
    now, total = craft.mass, 0.0
    for _ in range(STEPS):
        dt = -expm1(-size / STEPS / craft.exhaust) * now / craft.flow
        turn = _turn(place, pace, dt, craft.mu)
        x, y, z = _rotated(push, (turn[0] / 2.0, turn[1] / 2.0, turn[2] / 2.0))
        force = (craft.thrust * x, craft.thrust * y, craft.thrust * z)
        place, pace = _moved(place, pace, force, now, dt, craft)
        push = _rotated(push, turn)
        total += sqrt(turn[0] ** 2 + turn[1] ** 2 + turn[2] ** 2)
        now -= craft.flow * dt
    return np.array(place), np.array(pace), total


def _turn(r: Vector, v: Vector, dt: float, mu: float) -> Vector:
    """Return by how much [rad] gravity alone turns a velocity, as a vector: v x g / v^2 dt."""
    x, y, z = r
    a, b, c = v
    scale = -mu * dt / (sqrt(x * x + y * y + z * z) ** 3 * (a * a + b * b + c * c))
    return scale * (b * z - c * y), scale * (c * x - a * z), scale * (a * y - b * x)


def _rotated(u: Vector, turn: Vector) -> Vector:
    """Return a unit vector after a small turn, to the second order and of length one."""
    x, y, z = u
    a, b, c = turn
    x, y, z = x + b * z - c * y, y + c * x - a * z, z + a * y - b * x
    size = sqrt(x * x + y * y + z * z)
    return x / size, y / size, z / size


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


def _pull(r: Vector, push: Vector, mass: float, mu: float) -> Vector:
    x, y, z = r
    fall = -mu / sqrt(x * x + y * y + z * z) ** 3
    return fall * x + push[0] / mass, fall * y + push[1] / mass, fall * z + push[2] / mass


def _along(start: Vector, rate: Vector, dt: float) -> Vector:
    return start[0] + dt * rate[0], start[1] + dt * rate[1], start[2] + dt * rate[2]


def _mean(start: Vector, dt: float, a: Vector, b: Vector, c: Vector, d: Vector) -> Vector:
    sixth = dt / 6.0
    rates = zip(start, a, b, c, d, strict=True)
    x, y, z = [s + sixth * (p + 2.0 * q + 2.0 * u + w) for s, p, q, u, w in rates]
    return x, y, z


def velocity_along_asymptote(
    s: np.ndarray, v_inf: float, mu: float, *, long_way: bool = False
) -> VelocityTarget:
    """Return the velocity that leaves along the unit vector `s` with `v_inf` [m/s] far out.

    Battin 1999, ch. 11: v = (D + v_inf / 2) s + (D - v_inf / 2) r, with r the unit vector out.
    `long_way`: round by more than half a turn, falling through periapsis first; D is then negative.
    """
    sign = -1.0 if long_way else 1.0

    def wanted(r: np.ndarray, v: np.ndarray) -> np.ndarray:
        up, far = unit(r), float(np.linalg.norm(r))
        opening = max(1e-9, 1.0 + float(up @ s))
        d = sign * sqrt(mu / (opening * far) + v_inf**2 / 4.0)
        return (d + v_inf / 2.0) * s + (d - v_inf / 2.0) * up

    return wanted


def velocity_in_plane(normal: np.ndarray, energy: float, mu: float) -> VelocityTarget:
    """Return the velocity of a specific energy [J/kg] that runs about `normal`, as steep as now.

    Level in that plane wherever the burn ends: hundredths of a degree off it, where it is long.
    """

    def wanted(r: np.ndarray, v: np.ndarray) -> np.ndarray:
        up, pace = unit(r), float(np.linalg.norm(v))
        ahead, rise = unit(cross(normal, up)), float(v @ up)
        level = sqrt(max(0.0, pace**2 - rise**2))
        fast = sqrt(2.0 * (energy + mu / float(np.linalg.norm(r))))
        return fast / pace * (level * ahead + rise * up)

    return wanted
