"""What a burn loses by taking time: flown along the velocity about one body, in its plane.

A burn that turns the plane, or leaves for an asymptote out of it, is flown by `aimed_burn`.

A burn that leaves begins level, on the slow side, and thrusts along the velocity until it has
the energy the impulse would give. A burn that arrives is the same flight seen backwards in
time: from the slow side, the thrust against the motion, the mass growing. Steering along the
velocity is near the optimum for burns this short (Robbins 1966, AIAA J. 4, 1417-1423).
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, expm1, hypot, sqrt
from typing import NamedTuple

from mplan.physics.constants import G0
from mplan.physics.rocket import delta_v as rocket_delta_v
from mplan.physics.rocket import mass_flow

STEPS = 48  # of the fourth-order Runge-Kutta method: the loss is then good to 0.01 m/s
MOST_STEPS = 100 * STEPS  # a thrust that takes so much more than the impulse does not end

_Plane = tuple[float, float, float, float]  # x, y [m] and their rates [m/s]


class FiniteBurn(NamedTuple):
    """A burn as flown: `delta_v` spent, its `loss` against the impulse [m/s], `duration` [s]."""

    delta_v: float
    loss: float
    duration: float


class _Push(NamedTuple):
    """Thrust [N] on a mass [kg] that changes by `growth` [kg/s], about a body of `mu`."""

    mu: float
    thrust: float
    mass: float
    growth: float

    def acceleration(self, t: float) -> float:
        return self.thrust / (self.mass + self.growth * t)


@lru_cache(maxsize=256)
def fly_finite(
    radius: float,
    slow: float,
    impulse: float,
    mu: float,
    *,
    thrust: float,
    isp: float,
    mass: float,
    arriving: bool = False,
) -> FiniteBurn:
    """Return the burn that does what `impulse` [m/s] would at `radius` [m].

    `slow` [m/s] is the level speed on the slow side: before the burn, or after it with
    `arriving`. `thrust` [N], `isp` [s], `mass` [kg] before the burn. ArithmeticError where the
    thrust is too low for the burn to end in one arc, half a turn about the body.
    """
    energy = (slow + impulse) ** 2 / 2.0 - mu / radius
    flow = mass_flow(thrust, isp)
    spent = impulse
    for _ in range(8):  # an arriving burn starts its flight from a mass it has yet to find
        start = mass * exp(-spent / (isp * G0)) if arriving else mass
        push = _Push(mu, thrust, start, flow if arriving else -flow)
        duration = _time_to_energy((radius, 0.0, 0.0, slow), energy, push)
        if flow * duration >= mass:
            raise ArithmeticError("the burn would use up the craft itself")
        last, spent = spent, rocket_delta_v(isp, mass, mass - flow * duration)
        if not arriving or abs(spent - last) < 1e-3:
            break
    return FiniteBurn(spent, spent - impulse, duration)


def _time_to_energy(state: _Plane, energy: float, push: _Push) -> float:
    """Return how long [s] thrust along the velocity takes to reach a specific energy [J/kg]."""
    gain = sqrt(2.0 * (energy + push.mu / state[0])) - state[3]
    # Steps of like velocity, not of like time: at the end of a long burn the craft is light.
    per_mass = expm1(push.growth * gain / STEPS / push.thrust) / push.growth
    t = 0.0
    for _ in range(MOST_STEPS):
        step = per_mass * (push.mass + push.growth * t)
        power = push.acceleration(t) * hypot(state[2], state[3])
        rest = (energy - _energy(state, push.mu)) / power
        if rest < 1e-5 * step:
            return t + rest
        if state[1] < 0.0:
            raise ArithmeticError("the thrust is too low for the burn to end in one arc")
        dt = min(step, rest)
        state = _step(state, t, dt, push)
        t += dt
    raise ArithmeticError("the thrust is too low for the burn to end in one arc")


def _energy(state: _Plane, mu: float) -> float:
    x, y, u, v = state
    return (u * u + v * v) / 2.0 - mu / hypot(x, y)


def _rates(state: _Plane, acceleration: float, mu: float) -> _Plane:
    x, y, u, v = state
    pull, along = -mu / hypot(x, y) ** 3, acceleration / hypot(u, v)
    return u, v, pull * x + along * u, pull * y + along * v


def _step(state: _Plane, t: float, dt: float, push: _Push) -> _Plane:
    """Take one classical fourth-order Runge-Kutta step."""
    half = dt / 2.0
    k1 = _rates(state, push.acceleration(t), push.mu)
    k2 = _rates(_moved(state, k1, half), push.acceleration(t + half), push.mu)
    k3 = _rates(_moved(state, k2, half), push.acceleration(t + half), push.mu)
    k4 = _rates(_moved(state, k3, dt), push.acceleration(t + dt), push.mu)
    x, y, u, v = (
        s + dt / 6.0 * (p + 2.0 * q + 2.0 * r + w)
        for s, p, q, r, w in zip(state, k1, k2, k3, k4, strict=True)
    )
    return x, y, u, v


def _moved(state: _Plane, rates: _Plane, dt: float) -> _Plane:
    x, y, u, v = state
    return x + dt * rates[0], y + dt * rates[1], u + dt * rates[2], v + dt * rates[3]
