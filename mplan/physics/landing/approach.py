"""From the high gate to the ground: polynomials flown with a thrust between its limits.

Each leg takes the craft to a point fixed over the site, with a velocity of its own, by the
acceleration that is linear in the time left: the E guidance of Cherry (1964, AIAA paper 64-638;
Klumpp 1974, Automatica 10, 133-146, has the higher orders). Every cycle works its coefficients
out anew from where the craft is, so that what the limits kept it from is flown out afterwards.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil, cos, inf, log, radians, sqrt, tan
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from mplan.physics.burns.linear_tangent import LunarState, Spin, free_acceleration
from mplan.physics.compiling import entry, source
from mplan.physics.constants import G0, MU_MOON, R_MOON
from mplan.physics.landing.track import TrackPoint, write_point
from mplan.physics.vectors import Vector

if TYPE_CHECKING:
    from mplan.physics.landing.descent import DescentProfile

CYCLE = 3.0  # s at most: a polynomial leg is flown exactly, whatever it is
TILT = radians(15.0)  # of a craft that moves sideways in the hover; common practice, no source
SETTLED = 1.0  # N beyond a limit that are rounding
EASING = 1.5  # a leg that ends at its greatest rate takes so much longer than at that rate alone


class ThrottleLimits(NamedTuple):
    """Full and least thrust [N], and specific impulse [s]."""

    thrust: float
    least: float
    isp: float


class ApproachTarget(NamedTuple):
    """Where a leg ends: a time [s], a place over the ground [m], a velocity there [m/s]."""

    name: str
    duration: float
    place: Vector
    velocity: Vector


@dataclass
class ApproachFlight:
    """What has been flown: state and mass [kg] now, points, phases, seconds at a limit."""

    state: LunarState
    mass: float
    t: float
    points: list[TrackPoint] = field(default_factory=list)
    phases: list[tuple] = field(default_factory=list)
    at_limit: float = 0.0
    least: float = inf  # N, of all thrusts used


def approach_time(way: DescentProfile) -> float:
    """Return the time [s] from gate to gate: what even braking of the sink takes."""
    return 2.0 * (way.high_altitude - way.low_altitude) / (way.high_sink + way.low_sink)


def landing_time(way: DescentProfile) -> float:
    """Return the time [s] from the low gate to rest in the hover, at an even braking again."""
    return 2.0 * (way.low_altitude - way.hover_altitude) / way.low_sink


def touchdown_time(way: DescentProfile) -> float:
    """Return the time [s] from the hover down, easing into the touchdown speed."""
    return EASING * way.hover_altitude / way.touchdown_speed


def redesignation_time(way: DescentProfile) -> float:
    """Return the time [s] to move sideways by the distance allowed, tilted to and fro."""
    return 2.0 * sqrt(way.redesignation / (MU_MOON / R_MOON**2 * tan(TILT)))


def low_range(way: DescentProfile) -> float:
    """Return how far from the site the low gate lies [m]."""
    return landing_time(way) * way.low_speed / 2.0


def gate_range(way: DescentProfile) -> float:
    """Return how far from the site the high gate lies along the ground [m]."""
    return low_range(way) + approach_time(way) * (way.high_speed + way.low_speed) / 2.0


def fly_approach(
    flown: ApproachFlight, limits: ThrottleLimits, way: DescentProfile, ground: float, spin: Spin
) -> ApproachFlight:
    """Fly on from the high gate to the site (0, 0, `ground`) [m], and return what was flown."""
    over = ground + way.hover_altitude
    still = (0.0, 0.0, 0.0)
    gate = _arc(low_range(way), ground, way.low_altitude)
    for target in (
        ApproachTarget("approach", approach_time(way), gate, (way.low_speed, 0.0, -way.low_sink)),
        ApproachTarget("landing", landing_time(way), (0.0, 0.0, over), still),
    ):
        _leg(flown, target, limits, spin)
    _leg(flown, ApproachTarget("hover", way.hover, (0.0, 0.0, over), still), limits, spin)
    sideways = ApproachTarget("redesignation", redesignation_time(way), (0.0, 0.0, over), still)
    _leg(flown, sideways, limits, spin, share=1.0 / cos(TILT))
    down = ApproachTarget(
        "touchdown", touchdown_time(way), (0.0, 0.0, ground), (0.0, 0.0, -way.touchdown_speed)
    )
    _leg(flown, down, limits, spin)
    return flown


def _arc(distance: float, ground: float, altitude: float) -> Vector:
    """Return the place `distance` [m] short of the site along the ground and `altitude` over it."""
    radius = ground + altitude
    x = distance * radius / ground
    return -x, 0.0, sqrt(radius * radius - x * x)


def _leg(
    flown: ApproachFlight,
    target: ApproachTarget,
    limits: ThrottleLimits,
    spin: Spin,
    *,
    share: float = 1.0,
) -> None:
    """Fly one leg; `share` is the thrust spent in parts of the thrust that moves the craft so."""
    if target.duration <= 0.0:
        return
    rows = np.empty((ceil(target.duration / CYCLE) + 1, 12))
    begun, full = flown.t, flown.mass
    flown.state, flown.mass, flown.t, held, least = fly_cycles(
        flown.state,
        full,
        begun,
        float(target.duration),
        target.place,
        target.velocity,
        limits,
        spin,
        share,
        rows,
    )
    if flown.mass <= 0.0:
        raise ArithmeticError("the descent would use up the craft itself")
    flown.at_limit += held
    flown.least = min(flown.least, least)
    flown.points += map(tuple, rows.tolist())
    spent = limits.isp * G0 * log(full / flown.mass)
    flown.phases.append((target.name, begun, target.duration, spent, full - flown.mass))


@entry
def fly_cycles(
    state: LunarState,
    mass: float,
    t: float,
    duration: float,
    place: Vector,
    velocity: Vector,
    limits: ThrottleLimits,
    spin: Spin,
    share: float,
    rows: np.ndarray,
) -> tuple[LunarState, float, float, float, float]:
    """Return state, mass, time, seconds at a limit and the least thrust [N] after a leg.

    A cycle begins at each of the `rows` (n, 12) but the last, where the leg ends: `TrackPoint`s,
    which are written. It ends sooner where no mass is left.
    """
    cycles = rows.shape[0] - 1
    dt, held, least = duration / cycles, 0.0, inf
    first, rate = _law(state, place, velocity, duration)
    for i in range(cycles):
        first, rate = _law(state, place, velocity, (cycles - i) * dt)
        push = _push(state, mass, first, rate, 0.0, limits, spin)
        write_point(rows, i, t, state, mass, push[1], share * push[2])
        state, mass, last = _cycle(state, mass, first, rate, dt, push, limits, spin, share)
        if mass <= 0.0:
            return state, mass, t, held, least
        t += dt
        least = min(least, push[2], last)
        held += dt if abs(push[3]) > SETTLED else 0.0
    push = _push(state, mass, first, rate, dt, limits, spin)
    write_point(rows, cycles, t, state, mass, push[1], share * push[2])
    return state, mass, t, held, least


@source
def _law(state: LunarState, place: Vector, velocity: Vector, left: float) -> tuple[Vector, Vector]:
    """Return the acceleration [m/s2] and its rate [m/s3] that end at the target in `left` [s]."""
    a, p = _along(state[0], state[3], place[0], velocity[0], left)
    b, q = _along(state[1], state[4], place[1], velocity[1], left)
    c, r = _along(state[2], state[5], place[2], velocity[2], left)
    return (a, b, c), (p, q, r)


@source
def _along(at: float, v: float, there: float, wanted: float, left: float) -> tuple[float, float]:
    way = there - at
    first = (6.0 * way / left - 4.0 * v - 2.0 * wanted) / left
    return first, 6.0 * (v + wanted - 2.0 * way / left) / (left * left)


@source
def _push(
    state: LunarState,
    mass: float,
    first: Vector,
    rate: Vector,
    t: float,
    limits: ThrottleLimits,
    spin: Spin,
) -> tuple[Vector, Vector, float, float]:
    """Return the acceleration, the thrust's direction and size [N], and how far it was cut [N]."""
    fall = free_acceleration(state[0], state[1], state[2], state[3], state[4], state[5], spin)
    x = first[0] + rate[0] * t - fall[0]
    y = first[1] + rate[1] * t - fall[1]
    z = first[2] + rate[2] * t - fall[2]
    size = sqrt(x * x + y * y + z * z)
    asked = size * mass
    thrust = min(max(asked, limits.least), limits.thrust)
    share = thrust / asked
    total = (fall[0] + share * x, fall[1] + share * y, fall[2] + share * z)
    return total, (x / size, y / size, z / size), thrust, asked - thrust


@source
def _cycle(
    state: LunarState,
    mass: float,
    first: Vector,
    rate: Vector,
    dt: float,
    begun: tuple[Vector, Vector, float, float],
    limits: ThrottleLimits,
    spin: Spin,
    share: float,
) -> tuple[LunarState, float, float]:
    """Return state, mass and the thrust [N] at the end of one cycle, from the push it has `begun`.

    A fourth-order Runge-Kutta step, which is exact for a polynomial.
    """
    flow, half = share / (limits.isp * G0), dt / 2.0
    v1, k1, f1 = (state[3], state[4], state[5]), begun[0], begun[2]
    s2, v2 = _moved(state, v1, k1, half)
    k2, _, f2, _ = _push(s2, mass - flow * f1 * half, first, rate, half, limits, spin)
    s3, v3 = _moved(state, v2, k2, half)
    k3, _, f3, _ = _push(s3, mass - flow * f2 * half, first, rate, half, limits, spin)
    s4, v4 = _moved(state, v3, k3, dt)
    k4, _, f4, _ = _push(s4, mass - flow * f3 * dt, first, rate, dt, limits, spin)
    sixth = dt / 6.0
    after = (
        state[0] + sixth * (v1[0] + 2.0 * (v2[0] + v3[0]) + v4[0]),
        state[1] + sixth * (v1[1] + 2.0 * (v2[1] + v3[1]) + v4[1]),
        state[2] + sixth * (v1[2] + 2.0 * (v2[2] + v3[2]) + v4[2]),
        state[3] + sixth * (k1[0] + 2.0 * (k2[0] + k3[0]) + k4[0]),
        state[4] + sixth * (k1[1] + 2.0 * (k2[1] + k3[1]) + k4[1]),
        state[5] + sixth * (k1[2] + 2.0 * (k2[2] + k3[2]) + k4[2]),
    )
    return after, mass - sixth * flow * (f1 + 2.0 * (f2 + f3) + f4), f4


@source
def _moved(state: LunarState, v: Vector, a: Vector, dt: float) -> tuple[LunarState, Vector]:
    fast = (state[3] + dt * a[0], state[4] + dt * a[1], state[5] + dt * a[2])
    place = (state[0] + dt * v[0], state[1] + dt * v[1], state[2] + dt * v[2])
    return (place[0], place[1], place[2], fast[0], fast[1], fast[2]), fast
