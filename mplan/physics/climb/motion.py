"""Motion of a climbing vehicle: forces, their losses, and one step of integration.

Axes are inertial: z along Earth's pole, x through the meridian of the launch site at lift-off.
Gravity is central with Earth's J2; altitude is above the ellipsoid (along the radius, at most
0.1 % longer than geodetic below 500 km); the air turns with the Earth. Where a wind blows, the
nose that follows the path over ground stands at an angle to the air, which then pushes it aside
(`normal_force`); without wind that force is neglected, and so is the turning of the vehicle itself:
three degrees of freedom.

Losses are reckoned on the speed over the turning ground, so that they start from rest: ideal
velocity = speed gained + gravity (less the centrifugal force) + drag + steering + pressure.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.bodies.days import DayAir, day_air, day_tables
from mplan.physics.climb.drag import coefficient
from mplan.physics.climb.launch_vehicle import Dispersions, LaunchVehicle
from mplan.physics.climb.steering import SteeringLaw, Twelve, nose
from mplan.physics.climb.weather import CALM, Weather, Winds, blown, winds_of
from mplan.physics.compiling import Table, source, table
from mplan.physics.vectors import Vector

# x, y, z [m], vx, vy, vz [m/s], mass [kg]; ideal velocity and its losses to gravity, drag,
# steering and pressure [m/s], each since the release
Numbers = Twelve
Rates = Callable[[float, Numbers], Numbers]

AIR_ENDS = 140e3  # m; above, drag of a climbing vehicle is below 1e-5 m/s2
SEA_LEVEL = 101325.0  # Pa
_SQUASH = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0
_J2 = 1.5 * c.J2_EARTH * c.R_EARTH**2


@source
def altitude(s: tuple[float, ...]) -> float:
    """Return the height above the ellipsoid [m]."""
    x, y, z = s[:3]
    square = x * x + y * y + z * z
    return sqrt(square) - c.R_EARTH / sqrt(1.0 + _SQUASH * z * z / square)


@source
def ground_velocity(s: tuple[float, ...]) -> Vector:
    """Return the velocity over the turning Earth [m/s], in inertial axes."""
    return s[3] + c.W_EARTH * s[1], s[4] - c.W_EARTH * s[0], s[5]


def air_velocity(s: Numbers, dispersions: Dispersions, weather: Weather = CALM) -> Vector:
    """Return the velocity through the air [m/s], wind included, in inertial axes."""
    return through_air(s, altitude(s), winds_of(weather, dispersions.wind, dispersions.wind_to))


@source
def through_air(s: tuple[float, ...], height: float, winds: Winds) -> Vector:
    """Return the same at a `height` [m] in given winds."""
    ux, uy, uz = ground_velocity(s)
    if not winds.blow:
        return ux, uy, uz
    x, y, z = s[:3]
    r = sqrt(x * x + y * y + z * z)
    east, north = blown(height, winds)
    ax, ay, az = _in_inertial_axes(x, y, z, r, east, north)
    return ux - ax, uy - ay, uz - az


@source
def gravity(x: float, y: float, z: float) -> Vector:
    """Return the acceleration of gravity [m/s2], with J2."""
    r2 = x * x + y * y + z * z
    k, oblate = -c.MU_EARTH / (r2 * sqrt(r2)), _J2 / r2
    level = k * (1.0 + oblate * (1.0 - 5.0 * (z * z / r2)))
    return level * x, level * y, (level + 2.0 * k * oblate) * z


class EngineThrust(NamedTuple):
    """What the engines give at one time: thrust [N] in vacuum, what sea level takes, flow [kg/s].

    `core` is the part that can be throttled down to `least`. Full thrust grows from `start` [s]
    over `build_up` [s].
    """

    thrust: float = 0.0
    taken: float = 0.0
    flow: float = 0.0
    core: float = 0.0
    least: float = 1.0
    start: float = 0.0
    build_up: float = 0.0


COASTING = EngineThrust()


class Surroundings(NamedTuple):
    """What acts on a climbing vehicle whatever burns, and the limits that its engines are held to.

    `area` is half the one that drag acts on [m2], its coefficients over the Mach number; `thick` a
    factor on the density, `slope` that of the normal force [m2/rad].
    """

    area: float
    mach: Table
    drag: Table
    thick: float
    slope: float
    most_pressure: float  # Pa
    most_acceleration: float  # m/s2
    air: DayAir
    winds: Winds


@lru_cache(maxsize=64)
def surroundings(
    vehicle: LaunchVehicle, dispersions: Dispersions, weather: Weather = CALM
) -> Surroundings:
    """Return what acts on a vehicle in a weather."""
    limits, mach_and_drag = vehicle.limits, zip(*vehicle.curve, strict=True)
    mach, drag = (table(each) for each in mach_and_drag)
    return Surroundings(
        0.5 * vehicle.area,
        mach,
        drag,
        float(dispersions.air),
        float(vehicle.normal_slope),
        float(limits.dynamic_pressure),
        float(limits.acceleration),
        day_tables(weather.day),
        winds_of(weather, dispersions.wind, dispersions.wind_to),
    )


def rates_of(
    vehicle: LaunchVehicle,
    dispersions: Dispersions,
    push: EngineThrust,
    law: SteeringLaw,
    weather: Weather = CALM,
) -> Rates:
    """Return the right-hand side for one set of engines and one way of steering."""
    around = surroundings(vehicle, dispersions, weather)
    return lambda t, s: rates(t, s, push, law, around)


@source
def rates(
    t: float, s: Twelve, push: EngineThrust, law: SteeringLaw, around: Surroundings
) -> Twelve:
    """Return the rates of a state."""
    x, y, z, vx, vy, vz, m = s[:7]
    w = c.W_EARTH
    r2 = x * x + y * y + z * z
    r = sqrt(r2)
    up2 = z * z / r2
    gx, gy, gz = gravity(x, y, z)
    ux, uy, uz = vx + w * y, vy - w * x, vz
    u = sqrt(ux * ux + uy * uy + uz * uz)
    full, pressed, flow = push.thrust, 0.0, push.flow
    dx = dy = dz = q = ax = ay = az = speed = 0.0
    blows = around.winds.blow
    height = r - c.R_EARTH / sqrt(1.0 + _SQUASH * up2)
    if height < AIR_ENDS:
        rho, p, sound = day_air(height, around.air)
        pressed = push.taken * p / SEA_LEVEL
        if blows:
            east, north = blown(height, around.winds)
            ax, ay, az = _in_inertial_axes(x, y, z, r, east, north)
            ax, ay, az = ux - ax, uy - ay, uz - az
            speed = sqrt(ax * ax + ay * ay + az * az)
        else:
            ax, ay, az, speed = ux, uy, uz, u
        dragged = around.area * rho * around.thick * speed
        stopped = dragged * coefficient(speed / sound, around.mach, around.drag) / m
        dx, dy, dz = -stopped * ax, -stopped * ay, -stopped * az
        q = 0.5 * rho * around.thick * speed * speed
    if full != 0.0:
        full, pressed, flow = _held_back(t, m, q, full, pressed, flow, push, around)
        nx, ny, nz = nose(t, s, (ux, uy, uz), u, height, law)
        a = (full - pressed) / m
        if blows and q > 1.0:
            size = around.slope * q / m
            fx, fy, fz = _pushed_aside(size, (ax, ay, az), speed, (nx, ny, nz))
            dx, dy, dz = dx + fx, dy + fy, dz + fz
        if u > 1e-3:
            along = (nx * ux + ny * uy + nz * uz) / u
        else:
            along, ux, uy, uz, u = 1.0, nx, ny, nz, 1.0
        tx, ty, tz = a * nx, a * ny, a * nz
    else:
        a, along, tx, ty, tz = 0.0, 1.0, 0.0, 0.0, 0.0
        u = u if u != 0.0 else 1.0
    weight = (gx + w * w * x) * ux + (gy + w * w * y) * uy + gz * uz
    return (
        vx,
        vy,
        vz,
        gx + dx + tx,
        gy + dy + ty,
        gz + dz + tz,
        -flow,
        full / m,
        -weight / u,
        -(dx * ux + dy * uy + dz * uz) / u,
        a * (1.0 - along),
        pressed / m,
    )


@source
def _held_back(
    t: float,
    m: float,
    q: float,
    full: float,
    pressed: float,
    flow: float,
    push: EngineThrust,
    around: Surroundings,
) -> Vector:
    """Return thrust, the part that the air presses back, and flow: by limits and build-up."""
    most_q, most_a = around.most_pressure, around.most_acceleration
    if push.least < 1.0 and (q > 0.9 * most_q or full - pressed > most_a * m):
        cut = _throttled(push, full, pressed, m, q, most_q, most_a)
        full, pressed, flow = full * cut, pressed * cut, flow * cut
    if push.build_up > 0.0 and t < push.start + push.build_up:
        grown = max(0.0, (t - push.start) / push.build_up)
        full, pressed, flow = full * grown, pressed * grown, flow * grown
    return full, pressed, flow


@source
def _throttled(
    push: EngineThrust,
    full: float,
    pressed: float,
    m: float,
    q: float,
    most_q: float,
    most_a: float,
) -> float:
    """Return the part of full thrust left by the limits, the core throttling as far as it can."""
    core, fixed = push.core, 1.0 - push.core
    wanted = 1.0
    if full - pressed > most_a * m:
        wanted = (most_a * m / (full - pressed) - fixed) / core
    if q > 0.9 * most_q:
        wanted = min(wanted, 1.0 - (1.0 - push.least) * (q - 0.9 * most_q) / (0.1 * most_q))
    return fixed + core * max(push.least, min(1.0, wanted))


@source
def _pushed_aside(size: float, air: Vector, speed: float, nose: Vector) -> Vector:
    """Return the acceleration [m/s2] by the normal force, across the nose and away from the wind.

    `size` [m/s2] is that of an angle of attack of a radian: the force grows with its sine.
    """
    along = (air[0] * nose[0] + air[1] * nose[1] + air[2] * nose[2]) / speed
    return (
        -size * (air[0] / speed - along * nose[0]),
        -size * (air[1] / speed - along * nose[1]),
        -size * (air[2] / speed - along * nose[2]),
    )


@source
def _in_inertial_axes(x: float, y: float, z: float, r: float, east: float, north: float) -> Vector:
    """Return a wind [m/s] towards east and north in inertial axes."""
    flat = sqrt(x * x + y * y)
    ex, ey = -y / flat, x / flat
    nx, ny, nz = -z * x / (r * flat), -z * y / (r * flat), flat / r
    return (
        east * ex + north * nx,
        east * ey + north * ny,
        north * nz,
    )


@source
def climb_step(
    t: float, s: Twelve, h: float, push: EngineThrust, law: SteeringLaw, around: Surroundings
) -> Twelve:
    """Return the state a time `h` [s] on: one step of the classical Runge-Kutta method."""
    half = h / 2.0
    a = rates(t, s, push, law, around)
    b = rates(t + half, _moved(s, a, half), push, law, around)
    f = rates(t + half, _moved(s, b, half), push, law, around)
    d = rates(t + h, _moved(s, f, h), push, law, around)
    return _moved(s, _mean(a, b, f, d), h / 6.0)


@source
def _moved(s: Twelve, rate: Twelve, h: float) -> Twelve:
    return (
        s[0] + h * rate[0],
        s[1] + h * rate[1],
        s[2] + h * rate[2],
        s[3] + h * rate[3],
        s[4] + h * rate[4],
        s[5] + h * rate[5],
        s[6] + h * rate[6],
        s[7] + h * rate[7],
        s[8] + h * rate[8],
        s[9] + h * rate[9],
        s[10] + h * rate[10],
        s[11] + h * rate[11],
    )


@source
def _mean(a: Twelve, b: Twelve, f: Twelve, d: Twelve) -> Twelve:
    """Return six times the mean of the rates in a step."""
    return (
        a[0] + b[0] + b[0] + f[0] + f[0] + d[0],
        a[1] + b[1] + b[1] + f[1] + f[1] + d[1],
        a[2] + b[2] + b[2] + f[2] + f[2] + d[2],
        a[3] + b[3] + b[3] + f[3] + f[3] + d[3],
        a[4] + b[4] + b[4] + f[4] + f[4] + d[4],
        a[5] + b[5] + b[5] + f[5] + f[5] + d[5],
        a[6] + b[6] + b[6] + f[6] + f[6] + d[6],
        a[7] + b[7] + b[7] + f[7] + f[7] + d[7],
        a[8] + b[8] + b[8] + f[8] + f[8] + d[8],
        a[9] + b[9] + b[9] + f[9] + f[9] + d[9],
        a[10] + b[10] + b[10] + f[10] + f[10] + d[10],
        a[11] + b[11] + b[11] + f[11] + f[11] + d[11],
    )
