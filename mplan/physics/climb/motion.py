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
from math import sqrt

from mplan.physics import constants as c
from mplan.physics.bodies.days import air_of
from mplan.physics.climb.drag import coefficient
from mplan.physics.climb.launch_vehicle import Dispersions, LaunchVehicle
from mplan.physics.climb.weather import CALM, Weather, blows
from mplan.physics.vectors import Vector

# x, y, z [m], vx, vy, vz [m/s], mass [kg]; ideal velocity and its losses to gravity, drag,
# steering and pressure [m/s], each since the release
Numbers = tuple[float, ...]
Rates = Callable[[float, Numbers], Numbers]
Steer = Callable[[float, Numbers, Vector, float], Vector]  # t, state, ground velocity, its size

AIR_ENDS = 140e3  # m; above, drag of a climbing vehicle is below 1e-5 m/s2
SEA_LEVEL = 101325.0  # Pa
_SQUASH = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0
_J2 = 1.5 * c.J2_EARTH * c.R_EARTH**2


def altitude(s: Numbers) -> float:
    """Return the height above the ellipsoid [m]."""
    x, y, z = s[:3]
    square = x * x + y * y + z * z
    return sqrt(square) - c.R_EARTH / sqrt(1.0 + _SQUASH * z * z / square)


def ground_velocity(s: Numbers) -> Vector:
    """Return the velocity over the turning Earth [m/s], in inertial axes."""
    return s[3] + c.W_EARTH * s[1], s[4] - c.W_EARTH * s[0], s[5]


def air_velocity(s: Numbers, dispersions: Dispersions, weather: Weather = CALM) -> Vector:
    """Return the velocity through the air [m/s], wind included, in inertial axes."""
    ux, uy, uz = ground_velocity(s)
    wind = blows(weather, dispersions.wind, dispersions.wind_to)
    if wind is None:
        return ux, uy, uz
    x, y, z = s[:3]
    r = sqrt(x * x + y * y + z * z)
    ax, ay, az = _blown(x, y, z, r, *wind(altitude(s)))
    return ux - ax, uy - ay, uz - az


class EngineThrust:
    """What the engines give at one time: thrust [N] in vacuum, what sea level takes, flow [kg/s].

    `core` is the part that can be throttled down to `least`. Full thrust grows from `start` [s]
    over `build_up` [s].
    """

    __slots__ = ("build_up", "core", "flow", "least", "start", "taken", "thrust")

    def __init__(
        self,
        thrust: float = 0.0,
        taken: float = 0.0,
        flow: float = 0.0,
        core: float = 0.0,
        least: float = 1.0,
        start: float = 0.0,
        build_up: float = 0.0,
    ) -> None:
        """Keep the figures of all engines burning together."""
        self.thrust, self.taken, self.flow = thrust, taken, flow
        self.core, self.least, self.start, self.build_up = core, least, start, build_up


COASTING = EngineThrust()


def rates_of(
    vehicle: LaunchVehicle,
    dispersions: Dispersions,
    push: EngineThrust,
    steer: Steer,
    weather: Weather = CALM,
) -> Rates:
    """Return the right-hand side for one set of engines and one way of steering."""
    area, curve, limits = 0.5 * vehicle.area, vehicle.curve, vehicle.limits
    thick, slope = dispersions.air, vehicle.normal_slope
    air, wind = air_of(weather.day), blows(weather, dispersions.wind, dispersions.wind_to)
    most_q, most_a = limits.dynamic_pressure, limits.acceleration
    bends = push.least < 1.0
    mu, w, re = c.MU_EARTH, c.W_EARTH, c.R_EARTH

    def rates(t: float, s: Numbers) -> Numbers:
        x, y, z, vx, vy, vz, m = s[:7]
        r2 = x * x + y * y + z * z
        r = sqrt(r2)
        up2 = z * z / r2
        k, oblate = -mu / (r2 * r), _J2 / r2
        level = k * (1.0 + oblate * (1.0 - 5.0 * up2))
        gx, gy, gz = level * x, level * y, (level + 2.0 * k * oblate) * z
        ux, uy, uz = vx + w * y, vy - w * x, vz
        u2 = ux * ux + uy * uy + uz * uz
        u = sqrt(u2)
        full, pressed, flow = push.thrust, 0.0, push.flow
        dx = dy = dz = q = ax = ay = az = speed = 0.0
        height = r - re / sqrt(1.0 + _SQUASH * up2)
        if height < AIR_ENDS:
            rho, p, sound = air(height)
            pressed = push.taken * p / SEA_LEVEL
            if wind:
                ax, ay, az = _blown(x, y, z, r, *wind(height))
                ax, ay, az = ux - ax, uy - ay, uz - az
                speed = sqrt(ax * ax + ay * ay + az * az)
            else:
                ax, ay, az, speed = ux, uy, uz, u
            stopped = area * rho * thick * speed * coefficient(curve, speed / sound) / m
            dx, dy, dz = -stopped * ax, -stopped * ay, -stopped * az
            q = 0.5 * rho * thick * speed * speed
        if full:
            if bends and (q > 0.9 * most_q or full - pressed > most_a * m):
                cut = _throttled(push, full, pressed, m, q, most_q, most_a)
                full, pressed, flow = full * cut, pressed * cut, flow * cut
            if push.build_up and t < push.start + push.build_up:
                grown = max(0.0, (t - push.start) / push.build_up)
                full, pressed, flow = full * grown, pressed * grown, flow * grown
            nx, ny, nz = steer(t, s, (ux, uy, uz), u)
            a = (full - pressed) / m
            if wind and q > 1.0:
                fx, fy, fz = _pushed_aside(slope * q / m, (ax, ay, az), speed, (nx, ny, nz))
                dx, dy, dz = dx + fx, dy + fy, dz + fz
            if u > 1e-3:
                along = (nx * ux + ny * uy + nz * uz) / u
            else:
                along, ux, uy, uz, u = 1.0, nx, ny, nz, 1.0
            tx, ty, tz = a * nx, a * ny, a * nz
        else:
            a, along, tx, ty, tz, u = 0.0, 1.0, 0.0, 0.0, 0.0, u or 1.0
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

    return rates


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


def _blown(x: float, y: float, z: float, r: float, east: float, north: float) -> Vector:
    """Return a wind [m/s] towards east and north in inertial axes."""
    flat = sqrt(x * x + y * y)
    ex, ey = -y / flat, x / flat
    nx, ny, nz = -z * x / (r * flat), -z * y / (r * flat), flat / r
    return (
        east * ex + north * nx,
        east * ey + north * ny,
        north * nz,
    )


def climb_step(rates: Rates, t: float, s: Numbers, h: float) -> Numbers:
    """Return the state a time `h` [s] on: one step of the classical Runge-Kutta method."""
    half, sixth = h / 2.0, h / 6.0
    # the same length throughout: zip is not asked to check it, thousands of times
    a = rates(t, s)
    b = rates(t + half, tuple([p + half * d for p, d in zip(s, a)]))  # noqa: B905
    f = rates(t + half, tuple([p + half * d for p, d in zip(s, b)]))  # noqa: B905
    d = rates(t + h, tuple([p + h * d for p, d in zip(s, f)]))  # noqa: B905
    slopes = zip(s, a, b, f, d)  # noqa: B905
    return tuple([p + sixth * (k1 + k2 + k2 + k3 + k3 + k4) for p, k1, k2, k3, k4 in slopes])
