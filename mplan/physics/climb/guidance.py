"""How a climb is steered: pitched over and following its path in the air, aiming above it.

Above the air the thrust direction's tangents, against the local level in the plane of the orbit,
are straight lines in time: upwards and sideways two numbers each (`insertion` finds them). The
linear-tangent law is the optimum over a flat Earth (Bryson & Ho 1975, sec. 2.7); here it is a good
one, not quite the best.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, sin, sqrt, tan

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies.earth import geocentric_latitude
from mplan.physics.climb.course import Course
from mplan.physics.climb.launch_azimuth import over_ground
from mplan.physics.climb.launch_vehicle import Launch
from mplan.physics.climb.motion import Numbers, Steer, altitude, ground_velocity
from mplan.physics.vectors import Vector

UNIT = 300.0  # s, in which the tangents' slopes are told
COME_ROUND = 60.0  # s, in which the path turns to the attitude held, else it is followed anyway
ROUND = 1e-6  # m/s


@dataclass(frozen=True)
class InsertionAim:
    """Solution of the steering above the air: tangents up and sideways, slopes per 300 s.

    `burn` [s] is the length of the last burn; `slopes`, row by row, what the miss changes by
    with each unknown, kept to start the next solution from.
    """

    up: float
    up_slope: float
    side: float
    side_slope: float
    burn: float
    slopes: tuple[float, ...] = ()

    @property
    def unknowns(self) -> np.ndarray:
        """The five numbers that Newton's method moves."""
        return np.array([self.up, self.up_slope, self.side, self.side_slope, self.burn])


def plane_normal(launch: Launch) -> Vector:
    """Return the unit normal of the orbit's plane in the axes of the climb."""
    latitude, az = geocentric_latitude(launch.latitude), launch.azimuth
    return (-sin(latitude) * sin(az), -cos(az), cos(latitude) * sin(az))


def pitchover(launch: Launch, angle: float) -> Steer:
    """Return the steering off the pad: straight up, then pitched over to `angle` [rad] and held."""
    up, ahead = _pad_axes(launch)
    start, span = launch.rise, launch.pitching

    def steer(t: float, s: Numbers, u: Vector, size: float) -> Vector:
        turn = c.W_EARTH * t
        cs, sn = cos(turn), sin(turn)
        tilt = angle * min(1.0, max(0.0, (t - start) / span))
        a, b = cos(tilt), sin(tilt)
        x, y = a * up[0] + b * ahead[0], a * up[1] + b * ahead[1]
        return cs * x - sn * y, sn * x + cs * y, a * up[2] + b * ahead[2]

    return steer


def gravity_turn(t: float, s: Numbers, u: Vector, size: float) -> Vector:
    """Steer along the way over ground: a gravity turn."""
    return u[0] / size, u[1] / size, u[2] / size


def plane_turn(launch: Launch) -> Steer:
    """Return a gravity turn that is kept in the plane of the launch azimuth, whatever drifts aside.

    In a cross wind a nose that followed its drift would turn it into a part of the way, to be
    flown out of the orbit's plane again.
    """
    up, ahead = _pad_axes(launch)
    nx, ny, nz = (  # across, turning with the Earth
        up[1] * ahead[2] - up[2] * ahead[1],
        up[2] * ahead[0] - up[0] * ahead[2],
        up[0] * ahead[1] - up[1] * ahead[0],
    )

    def steer(t: float, s: Numbers, u: Vector, size: float) -> Vector:
        cs, sn = cos(c.W_EARTH * t), sin(c.W_EARTH * t)
        ax, ay = cs * nx - sn * ny, sn * nx + cs * ny
        aside = u[0] * ax + u[1] * ay + u[2] * nz
        x, y, z = u[0] - aside * ax, u[1] - aside * ay, u[2] - aside * nz
        length = sqrt(x * x + y * y + z * z)
        return x / length, y / length, z / length

    return steer


def programmed(heights: Sequence[float], noses: Sequence[Vector]) -> Steer:
    """Return the steering by a programme: attitudes at rising heights [m], turned evenly between.

    Attitudes are those of the turning Earth, as `ground_axes` gives them.
    """

    def steer(t: float, s: Numbers, u: Vector, size: float) -> Vector:
        height = altitude(s)
        i = min(max(bisect_right(heights, height), 1), len(heights) - 1)
        part = (height - heights[i - 1]) / (heights[i] - heights[i - 1])
        part = min(1.0, max(0.0, part))
        (ax, ay, az), (bx, by, bz) = noses[i - 1], noses[i]
        x, y, z = ax + part * (bx - ax), ay + part * (by - ay), az + part * (bz - az)
        length = sqrt(x * x + y * y + z * z)
        cs, sn = cos(c.W_EARTH * t) / length, sin(c.W_EARTH * t) / length
        return cs * x - sn * y, sn * x + cs * y, z / length

    return steer


def ground_axes(t: float, v: Vector) -> Vector:
    """Return an inertial vector in axes that turn with the Earth and coincide at lift-off."""
    cs, sn = cos(c.W_EARTH * t), sin(c.W_EARTH * t)
    return cs * v[0] + sn * v[1], cs * v[1] - sn * v[0], v[2]


def fly_pitchover(course: Course, launch: Launch, angle: float) -> None:
    """Move a course on from the pad until its path has come round, or its stage is dry."""
    steer, (up, ahead) = pitchover(launch, angle), _pad_axes(launch)
    dry = course.burn(steer, marks=(launch.rise,), until=launch.rise + launch.pitching)
    latest, lean = course.t + COME_ROUND, tan(angle)

    def short(at: Course) -> float:
        """Return by how much [m/s] the path is still too steep."""
        u, turn = ground_velocity(at.s), c.W_EARTH * at.t
        x, y = cos(turn) * u[0] + sin(turn) * u[1], cos(turn) * u[1] - sin(turn) * u[0]
        rising = x * up[0] + y * up[1] + u[2] * up[2]
        return lean * rising - (x * ahead[0] + y * ahead[1] + u[2] * ahead[2])

    left = short(course)
    while left > ROUND and course.t < latest and not dry:
        span = 1.0
        look = _ahead(course, steer, span)
        for _ in range(4):  # the secant's way to where nothing is left
            if short(look) > -ROUND:
                break
            span *= left / (left - short(look))
            look = _ahead(course, steer, span)
        dry = course.burn(steer, until=course.t + span)
        left = short(course)


def _ahead(course: Course, steer: Steer, span: float) -> Course:
    look = course.copy()
    look.burn(steer, until=course.t + span)
    return look


def _pad_axes(launch: Launch) -> tuple[Vector, Vector]:
    """Return up (along the plumb line) and ahead over ground at the pad."""
    lat, az = launch.latitude, over_ground(launch.azimuth, launch.latitude)
    up = (cos(lat), 0.0, sin(lat))
    return up, (-sin(lat) * cos(az), sin(az), cos(lat) * cos(az))


def linear_tangent(aim: InsertionAim, since: float, normal: Vector) -> Steer:
    """Return the steering above the air, its time counting from `since` [s]."""
    a, b, e, f = aim.up, aim.up_slope / UNIT, aim.side, aim.side_slope / UNIT
    nx, ny, nz = normal

    def steer(t: float, s: Numbers, u: Vector, size: float) -> Vector:
        x, y, z = s[0], s[1], s[2]
        # level in the orbit's plane: normal x r
        hx, hy, hz = ny * z - nz * y, nz * x - nx * z, nx * y - ny * x
        level = sqrt(hx * hx + hy * hy + hz * hz)
        # up: level direction x normal
        rx, ry, rz = hy * nz - hz * ny, hz * nx - hx * nz, hx * ny - hy * nx
        rise, side = a + b * (t - since), e + f * (t - since)
        size = level * sqrt(1.0 + rise * rise + side * side)
        side *= level
        return (
            (hx + rise * rx + side * nx) / size,
            (hy + rise * ry + side * ny) / size,
            (hz + rise * rz + side * nz) / size,
        )

    return steer
