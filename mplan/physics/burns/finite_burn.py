"""What a burn loses by taking time: flown along the velocity about one body, in its plane.

A burn that turns the plane, or leaves for an asymptote out of it, is flown by `aimed_burn`.

A burn that leaves begins level, on the slow side, and thrusts along the velocity until it has
the energy the impulse would give. A burn that arrives is the same flight seen backwards in
time: from the slow side, the thrust against the motion, the mass growing. Steering along the
velocity is near the optimum for burns this short (Robbins 1966, AIAA J. 4, 1417-1423).
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, expm1, inf, log, sqrt
from typing import NamedTuple

from mplan.physics.compiling import entry, source
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
    flow = mass_flow(thrust, isp)
    push = _Push(float(mu), float(thrust), float(mass), flow if arriving else -flow)
    start = (float(radius), 0.0, 0.0, float(slow))
    spent, duration = _spent(start, float(impulse), push)
    if duration == inf:
        raise ArithmeticError("the thrust is too low for the burn to end in one arc")
    if spent == inf:
        raise ArithmeticError("the burn would use up the craft itself")
    return FiniteBurn(spent, spent - impulse, duration)


@entry
def _spent(start: _Plane, impulse: float, push: _Push) -> tuple[float, float]:
    """Return the velocity spent [m/s] and the time taken [s], from a level `start`.

    Infinite is the time of a burn that does not end in one arc, the velocity of one that would use
    up the craft. `push` has the mass before the burn, which one that arrives grows to.
    """
    mu, thrust, mass, growth = push.mu, push.thrust, push.mass, push.growth
    fast, flow = start[3] + impulse, abs(growth)
    energy, exhaust = fast * fast / 2.0 - mu / start[0], thrust / flow
    spent, duration = impulse, 0.0
    for _ in range(8):  # an arriving burn starts its flight from a mass it has yet to find
        first = mass * exp(-spent / exhaust) if growth > 0.0 else mass
        duration = _time_to_energy(start, energy, _Push(mu, thrust, first, growth))
        if flow * duration >= mass:
            return inf, duration
        last, spent = spent, exhaust * log(mass / (mass - flow * duration))
        if growth < 0.0 or abs(spent - last) < 1e-3:
            break
    return spent, duration


@source
def _time_to_energy(state: _Plane, energy: float, push: _Push) -> float:
    """Return how long [s] thrust along the velocity takes to reach a specific energy [J/kg].

    Infinite where it takes more than one arc.
    """
    gain = sqrt(2.0 * (energy + push.mu / state[0])) - state[3]
    # Steps of like velocity, not of like time: at the end of a long burn the craft is light.
    per_mass = expm1(push.growth * gain / STEPS / push.thrust) / push.growth
    t = 0.0
    for _ in range(MOST_STEPS):
        step = per_mass * (push.mass + push.growth * t)
        power = _acceleration(push, t) * _size(state[2], state[3])
        rest = (energy - _energy(state, push.mu)) / power
        if rest < 1e-5 * step:
            return t + rest
        if state[1] < 0.0:
            return inf
        dt = min(step, rest)
        state = _step(state, t, dt, push)
        t += dt
    return inf


@source
def _size(x: float, y: float) -> float:
    return sqrt(x * x + y * y)


@source
def _acceleration(push: _Push, t: float) -> float:
    return push.thrust / (push.mass + push.growth * t)


@source
def _energy(state: _Plane, mu: float) -> float:
    x, y, u, v = state
    return (u * u + v * v) / 2.0 - mu / _size(x, y)


@source
def _rates(state: _Plane, acceleration: float, mu: float) -> _Plane:
    x, y, u, v = state
    far, along = _size(x, y), acceleration / _size(u, v)
    pull = -mu / (far * far * far)
    return u, v, pull * x + along * u, pull * y + along * v


@source
def _step(state: _Plane, t: float, dt: float, push: _Push) -> _Plane:
    """Take one classical fourth-order Runge-Kutta step."""
    half = dt / 2.0
    a = _rates(state, _acceleration(push, t), push.mu)
    b = _rates(_moved(state, a, half), _acceleration(push, t + half), push.mu)
    d = _rates(_moved(state, b, half), _acceleration(push, t + half), push.mu)
    e = _rates(_moved(state, d, dt), _acceleration(push, t + dt), push.mu)
    return _moved(state, _mean(a, b, d, e), dt / 6.0)


@source
def _moved(state: _Plane, rates: _Plane, dt: float) -> _Plane:
    x, y, u, v = state
    return x + dt * rates[0], y + dt * rates[1], u + dt * rates[2], v + dt * rates[3]


@source
def _mean(a: _Plane, b: _Plane, d: _Plane, e: _Plane) -> _Plane:
    """Return six times the mean of the rates in a step."""
    return (
        a[0] + 2.0 * (b[0] + d[0]) + e[0],
        a[1] + 2.0 * (b[1] + d[1]) + e[1],
        a[2] + 2.0 * (b[2] + d[2]) + e[2],
        a[3] + 2.0 * (b[3] + d[3]) + e[3],
    )
