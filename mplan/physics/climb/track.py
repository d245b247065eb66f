"""What a climb leaves behind, point by point: arrays along it, and the states at its events."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import acos, asin, atan2, cos, sin, sqrt

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies.days import day_air
from mplan.physics.bodies.earth import geocentric_latitude, surface_radius
from mplan.physics.climb.course import CourseRow, Happening
from mplan.physics.climb.launch_vehicle import Dispersions, LaunchVehicle
from mplan.physics.climb.motion import (
    AIR_ENDS,
    EngineThrust,
    Numbers,
    Surroundings,
    altitude,
    gravity,
    ground_velocity,
    rates,
    surroundings,
    through_air,
)
from mplan.physics.climb.steering import SteeringLaw, Twelve, nose
from mplan.physics.climb.weather import CALM, Weather
from mplan.physics.compiling import entry, source
from mplan.physics.vectors import freeze

RESTING = 1e-3  # m/s


@dataclass(frozen=True)
class ClimbTrack:
    """A climb along its way, one entry a point; a time stands twice where something leaps.

    Axes are inertial: z along Earth's pole, x through the meridian of the launch site at lift-off
    (a place `east` of the site's meridian at `t` lies at atan2(y, x) - W_EARTH t).
    """

    t: np.ndarray  # s since lift-off (n,)
    r: np.ndarray  # m (n, 3)
    v: np.ndarray  # m/s, inertial (n, 3)
    mass: np.ndarray  # kg
    thrust: np.ndarray  # N
    altitude: np.ndarray  # m above the ellipsoid
    airspeed: np.ndarray  # m/s through the air, which turns with the Earth; wind included
    mach: np.ndarray  # zero where there is no air
    dynamic_pressure: np.ndarray  # Pa
    acceleration: np.ndarray  # m/s2, sensed aboard: thrust and drag
    angle_of_attack: np.ndarray  # rad, between thrust and the way through the air; zero coasting
    pitch: np.ndarray  # rad, thrust above the local level
    flight_path_angle: np.ndarray  # rad, of the velocity over ground above the local level
    downrange: np.ndarray  # rad at Earth's centre from the pad, which turns with the Earth
    nose: np.ndarray  # unit vector of the thrust (n, 3), inertial; zeros coasting
    stage: np.ndarray  # index of the stage that burns, or burned last
    events: tuple[ClimbMark, ...]

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)


@dataclass(frozen=True)
class ClimbMark:
    """The state at an event: `what` happened to `name`; SI, angles in radians."""

    t: float
    what: str
    name: str
    altitude: float
    speed: float  # m/s, inertial
    airspeed: float  # m/s over ground
    flight_path_angle: float  # of the velocity over ground
    inertial_flight_path_angle: float
    downrange: float  # angle at Earth's centre from the pad, which turns with the Earth
    mass: float  # kg, just before
    state: Numbers  # as in `motion`


def climb_mark(happening: Happening, latitude: float) -> ClimbMark:
    """Return the state at something that happened, after a launch from a geodetic `latitude`."""
    t, what, name, s = happening[:4]
    fast, over = s[3:6], ground_velocity(s)
    return ClimbMark(
        t,
        what,
        name,
        altitude(s),
        _size(fast),
        _size(over),
        _above_level(s, over),
        _above_level(s, fast),
        downrange(t, s, latitude),
        s[6],
        s,
    )


def downrange(t: float, s: Numbers, latitude: float) -> float:
    """Return the angle [rad] at Earth's centre from the pad, where it is then, to the vehicle."""
    return _downrange(t, s, geocentric_latitude(latitude))


@source
def _downrange(t: float, s: Numbers, pad: float) -> float:
    flat, high = cos(pad), sin(pad)
    x, y = flat * cos(c.W_EARTH * t), flat * sin(c.W_EARTH * t)
    along = (x * s[0] + y * s[1] + high * s[2]) / _size(s[:3])
    return acos(max(-1.0, min(1.0, along)))


def ground_place(t: float, s: tuple[float, ...]) -> tuple[float, float]:
    """Return geocentric latitude and longitude east of the launch site [rad] below a state."""
    east = atan2(s[1], s[0]) - c.W_EARTH * t
    return asin(s[2] / _size(s[:3])), (east + np.pi) % (2.0 * np.pi) - np.pi


def on_pad(latitude: float, mass: float) -> Numbers:
    """Return the state at rest on the pad at a geodetic `latitude` [rad]."""
    low = geocentric_latitude(latitude)
    radius = surface_radius(sin(low))
    x = radius * cos(low)
    return (x, 0.0, radius * sin(low), 0.0, c.W_EARTH * x, 0.0, mass, 0.0, 0.0, 0.0, 0.0, 0.0)


def track_of(
    vehicle: LaunchVehicle,
    dispersions: Dispersions,
    rows: Sequence[CourseRow],
    events: Sequence[ClimbMark],
    latitude: float,
    weather: Weather = CALM,
) -> ClimbTrack:
    """Return the arrays along recorded rows."""
    around, pad = surroundings(vehicle, dispersions, weather), geocentric_latitude(latitude)
    moments = np.array([(row.t, *row.s) for row in rows])
    points, begin = np.empty((len(rows), 13)), 0
    for (push, law), group in groupby(rows, lambda row: (row.push, row.steer)):
        end = begin + len(list(group))
        write_points(moments[begin:end], push, law, around, pad, points[begin:end])
        begin = end
    table, state = np.ascontiguousarray(points.T), moments[:, 1:]
    thrust, height, speed, mach, pressure, sensed, attack, pitch, path, far = table[:10]
    stage = np.array([row.stage for row in rows])
    return ClimbTrack(
        t=moments[:, 0],
        r=state[:, :3],
        v=state[:, 3:6],
        mass=state[:, 6],
        thrust=thrust,
        altitude=height,
        airspeed=speed,
        mach=mach,
        dynamic_pressure=pressure,
        acceleration=sensed,
        angle_of_attack=attack,
        pitch=pitch,
        flight_path_angle=path,
        downrange=far,
        nose=np.ascontiguousarray(table[10:].T),
        stage=stage,
        events=tuple(events),
    )


@entry
def write_points(
    moments: np.ndarray,
    push: EngineThrust,
    law: SteeringLaw,
    around: Surroundings,
    pad: float,
    points: np.ndarray,
) -> int:
    """Write what is told of `moments` (n, 13), time and state, into `points` (n, 13), n of them.

    `pad` is the geocentric latitude of the launch site [rad].
    """
    count = moments.shape[0]
    for i in range(count):
        t, s = _moment(moments, i)
        told = _point(t, s, push, law, around, pad)
        for j in range(13):
            points[i, j] = told[j]
    return count


@source
def _moment(moments: np.ndarray, i: int) -> tuple[float, Twelve]:
    """Return a row as plain floats, which are quicker than the array's own."""
    m = moments[i]
    return float(m[0]), (
        float(m[1]),
        float(m[2]),
        float(m[3]),
        float(m[4]),
        float(m[5]),
        float(m[6]),
        float(m[7]),
        float(m[8]),
        float(m[9]),
        float(m[10]),
        float(m[11]),
        float(m[12]),
    )


@source
def _point(
    t: float,
    s: Twelve,
    push: EngineThrust,
    law: SteeringLaw,
    around: Surroundings,
    pad: float,
) -> tuple[float, ...]:
    """Return thrust, altitude and all that a `ClimbTrack` tells of a point, its nose at the end."""
    over, height = ground_velocity(s), altitude(s)
    through, rate = through_air(s, height, around.winds), rates(t, s, push, law, around)
    (gx, gy, gz), speed = gravity(s[0], s[1], s[2]), _size(through)
    sensed = _size((rate[3] - gx, rate[4] - gy, rate[5] - gz))
    mach = q = 0.0
    if height < AIR_ENDS:
        rho, _, sound = day_air(height, around.air)
        mach, q = speed / sound, 0.5 * around.thick * rho * speed * speed
    thrust = s[6] * (rate[7] - rate[11])
    aimed = nose(t, s, over, max(_size(over), 1e-9), height, law)
    attack = pitch = 0.0
    if thrust > 0.0:
        attack = _between(aimed, through) if speed > 1.0 else 0.0
        pitch = _above_level(s, aimed)
    path, far = _above_level(s, over), _downrange(t, s, pad)
    x, y, z = aimed
    return thrust, height, speed, mach, q, sensed, attack, pitch, path, far, x, y, z


@source
def _size(v: Sequence[float]) -> float:
    return sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2])


@source
def _above_level(s: Numbers, v: Sequence[float]) -> float:
    if _size(v) < RESTING:
        return np.pi / 2.0  # about to rise
    along = (s[0] * v[0] + s[1] * v[1] + s[2] * v[2]) / (_size(s[:3]) * _size(v))
    return asin(max(-1.0, min(1.0, along)))


@source
def _between(a: Sequence[float], b: Sequence[float]) -> float:
    along = (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) / (_size(a) * _size(b))
    return acos(max(-1.0, min(1.0, along)))
