"""Constant thrust steered by linear tangents over a sphere that turns: braking and climbing.

The state is (x, y, z, u, v, w) [m, m/s] from the Moon's centre in axes that turn at `spin`
[rad/s]: `y` across the track, `z` up through a place on the ground, `x` ahead. The thrust lies
along

    sense * ahead + (up + up_rate t) * outward + (side + side_rate t) * across,

the linear-tangent law, which is the least-propellant one over a flat ground without bounds on
the place of cut-off (Lawden 1963, Optimal Trajectories for Space Navigation; Bryson & Ho 1975,
sec. 2.7), with `ahead` and `outward` turning with the craft's place. The Moon is a sphere here:
its oblateness is worth 0.3 m/s over ten minutes.
"""

from __future__ import annotations

from math import asin, atan2, exp, log, sqrt, tan
from typing import NamedTuple

from mplan.physics.compiling import entry, source
from mplan.physics.constants import G0, MU_MOON
from mplan.physics.vectors import Vector

LunarState = tuple[float, float, float, float, float, float]
Spin = tuple[float, float, float]

STILL: Spin = (0.0, 0.0, 0.0)


class TangentSteering(NamedTuple):
    """The law's coefficients: tangents, and their rates [1/s]; `sense` is 1 or -1 (braking)."""

    sense: float = 1.0
    up: float = 0.0
    up_rate: float = 0.0
    side: float = 0.0
    side_rate: float = 0.0


class SteadyThrust(NamedTuple):
    """Thrust [N], specific impulse [s] and the mass [kg] when it begins."""

    thrust: float
    isp: float
    mass: float

    @property
    def flow(self) -> float:
        """Mass flow [kg/s]."""
        return self.thrust / (self.isp * G0)

    def mass_after(self, duration: float) -> float:
        """Return the mass [kg] left after a time [s]; ArithmeticError if there is none."""
        left = self.mass - self.flow * duration
        if left <= 0.0:
            raise ArithmeticError("the burn would use up the craft itself")
        return left

    def spent(self, duration: float) -> float:
        """Return the velocity [m/s] spent in a time [s]."""
        return self.isp * G0 * log(self.mass / self.mass_after(duration))


class LocalState(NamedTuple):
    """A state as the ground has it: radius [m], climb and speed ahead [m/s], the angle ahead of
    the place [rad], and what lies across: distance [m] and speed [m/s]."""

    radius: float
    climb: float
    speed: float
    angle: float
    across: float
    across_speed: float


@source
def local_state(state: LunarState) -> LocalState:
    """Return radius, rates and angles of a state."""
    x, y, z, u, v, w = state
    radius, flat = sqrt(x * x + y * y + z * z), sqrt(x * x + z * z)
    climb, speed = (x * u + y * v + z * w) / radius, (z * u - x * w) / flat
    return LocalState(radius, climb, speed, atan2(x, z), y, v)


@source
def free_acceleration(
    x: float, y: float, z: float, u: float, v: float, w: float, spin: Spin
) -> Vector:
    """Return the acceleration [m/s2] without thrust: gravity, and what the turning axes add."""
    p, q, r = spin
    square = x * x + y * y + z * z
    # -mu r / |r|^3 + w^2 r - (w . r) w - 2 w x v
    pull = p * p + q * q + r * r - MU_MOON / (square * sqrt(square))
    along = p * x + q * y + r * z
    return (
        pull * x - along * p - 2.0 * (q * w - r * v),
        pull * y - along * q - 2.0 * (r * u - p * w),
        pull * z - along * r - 2.0 * (p * v - q * u),
    )


@source
def direction(state: LunarState, law: TangentSteering, t: float) -> tuple[float, float, float]:
    """Return the unit vector of the thrust at `t` [s] after the law began."""
    x, y, z = state[:3]
    flat = law.sense / sqrt(x * x + z * z)
    up = (law.up + law.up_rate * t) / sqrt(x * x + y * y + z * z)
    a, b, c = z * flat + up * x, law.side + law.side_rate * t + up * y, up * z - x * flat
    size = sqrt(a * a + b * b + c * c)
    return a / size, b / size, c / size


@entry
def tangent_step(
    state: LunarState, t: float, dt: float, law: TangentSteering, push: SteadyThrust, spin: Spin
) -> LunarState:
    """Take one classical fourth-order Runge-Kutta step from `t` [s] after the law began."""
    half = dt / 2.0
    k1 = _rates(state, t, law, push, spin)
    k2 = _rates(_moved(state, k1, half), t + half, law, push, spin)
    k3 = _rates(_moved(state, k2, half), t + half, law, push, spin)
    k4 = _rates(_moved(state, k3, dt), t + dt, law, push, spin)
    sixth, third = dt / 6.0, dt / 3.0
    return (
        state[0] + sixth * (k1[0] + k4[0]) + third * (k2[0] + k3[0]),
        state[1] + sixth * (k1[1] + k4[1]) + third * (k2[1] + k3[1]),
        state[2] + sixth * (k1[2] + k4[2]) + third * (k2[2] + k3[2]),
        state[3] + sixth * (k1[3] + k4[3]) + third * (k2[3] + k3[3]),
        state[4] + sixth * (k1[4] + k4[4]) + third * (k2[4] + k3[4]),
        state[5] + sixth * (k1[5] + k4[5]) + third * (k2[5] + k3[5]),
    )


@source
def _rates(
    state: LunarState, t: float, law: TangentSteering, push: SteadyThrust, spin: Spin
) -> LunarState:
    x, y, z, u, v, w = state
    a, b, c = free_acceleration(x, y, z, u, v, w, spin)
    if push.thrust != 0.0:
        p, q, r = direction(state, law, t)
        size = push.thrust / (push.mass - push.thrust / (push.isp * G0) * t)
        return u, v, w, a + size * p, b + size * q, c + size * r
    return u, v, w, a, b, c


@source
def _moved(s: LunarState, k: LunarState, dt: float) -> LunarState:
    return (
        s[0] + dt * k[0],
        s[1] + dt * k[1],
        s[2] + dt * k[2],
        s[3] + dt * k[3],
        s[4] + dt * k[4],
        s[5] + dt * k[5],
    )


def fly_tangents(
    state: LunarState,
    duration: float,
    law: TangentSteering,
    push: SteadyThrust,
    spin: Spin,
    *,
    steps: int,
) -> LunarState:
    """Return the state after thrust of a `duration` [s], in `steps` of like time."""
    push.mass_after(duration)
    return fly_steps(state, duration, law, push, spin, steps)


@entry
def fly_steps(
    state: LunarState,
    duration: float,
    law: TangentSteering,
    push: SteadyThrust,
    spin: Spin,
    steps: int,
) -> LunarState:
    """Return what `fly_tangents` does, the mass not looked at."""
    dt = duration / steps
    for i in range(steps):
        state = tangent_step(state, i * dt, dt, law, push, spin)
    return state


def free_fall(state: LunarState, duration: float, spin: Spin) -> LunarState:
    """Return the state after a short coast of `duration` [s], less than zero for one before."""
    return fly_tangents(
        state, duration, TangentSteering(), SteadyThrust(0.0, 1.0, 1.0), spin, steps=2
    )


class TangentGuess(NamedTuple):
    """A first guess: duration [s], and the tangent with its rate [1/s]."""

    duration: float
    up: float
    up_rate: float


def guess_tangents(start: LocalState, wanted: LocalState, push: SteadyThrust) -> TangentGuess:
    """Return about what leads to the radius, climb and speed of `wanted`.

    The vertical motion of a thrust whose sine of pitch is linear in time, in closed form: thrust
    integrals as in the iterative guidance of Chandler & Smith (1967, J. Spacecraft 4, 898), and a
    weight less the path's own curve, with speed linear in time. ArithmeticError where the thrust
    does not carry the weight.
    """
    exhaust, life = push.isp * G0, push.mass / push.flow
    gained, level = abs(wanted.speed - start.speed), 1.0
    for _ in range(4):
        time = life * (1.0 - exp(-gained / (level * exhaust)))
        once = gained / level
        moment = life * once - exhaust * time
        twice = time * once - moment
        rest = life * twice - exhaust * time * time / 2.0
        fall, drop = _weight(start, wanted, time)
        rise = wanted.climb - start.climb + fall
        height = wanted.radius - start.radius - start.climb * time + drop
        det = once * rest - moment * twice
        sine = (rise * rest - height * moment) / det
        rate = (once * height - twice * rise) / det
        middle = abs(sine + rate * time / 2.0)
        if middle >= LIMIT:
            raise ArithmeticError(
                f"a thrust of {push.thrust / push.mass:.2f} m/s2 at its beginning does not carry"
                " the weight"
            )
        level = sqrt(1.0 - middle * middle)
    first, last = _tangent(sine), _tangent(sine + rate * time)
    return TangentGuess(time, first, (last - first) / time)


LIMIT = 0.95  # sine of a pitch beyond which next to nothing is left to change the speed


def _tangent(sine: float) -> float:
    return tan(asin(max(-LIMIT, min(LIMIT, sine))))


def _weight(start: LocalState, wanted: LocalState, time: float) -> tuple[float, float]:
    """Return the speed [m/s] and the height [m] that the weight takes in a time [s]."""
    radius = (start.radius + wanted.radius) / 2.0
    gravity, slow, more = MU_MOON / radius**2, start.speed, wanted.speed - start.speed
    curve = (slow * slow + slow * more + more * more / 3.0) / radius
    moment = (slow * slow / 2.0 + slow * more / 3.0 + more * more / 12.0) / radius
    return (gravity - curve) * time, (gravity / 2.0 - moment) * time * time


def ground_speed(state: LunarState) -> float:
    """Return the size of the velocity [m/s] in the turning axes."""
    return sqrt(state[3] ** 2 + state[4] ** 2 + state[5] ** 2)
