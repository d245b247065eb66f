"""How a climb is steered: pitched over and following its path in the air, aiming above it.

Above the air the thrust direction's tangents, against the local level in the plane of the orbit,
are straight lines in time: upwards and sideways two numbers each (`insertion` finds them). The
linear-tangent law is the optimum over a flat Earth (Bryson & Ho 1975, sec. 2.7); here it is a good
one, not quite the best.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin, tan

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies.earth import geocentric_latitude
from mplan.physics.climb.course import Course
from mplan.physics.climb.launch_azimuth import over_ground
from mplan.physics.climb.launch_vehicle import Launch
from mplan.physics.climb.motion import ground_velocity
from mplan.physics.climb.steering import (
    GRAVITY_TURN,
    LINEAR_TANGENT,
    PITCHOVER,
    PLANE_TURN,
    SteeringLaw,
    Tangents,
)
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

    @classmethod
    def of(cls, unknowns: np.ndarray, slopes: tuple[float, ...] = ()) -> InsertionAim:
        """Return the aim of the five numbers."""
        up, up_slope, side, side_slope, burn = unknowns.tolist()
        return cls(up, up_slope, side, side_slope, burn, slopes)

    @property
    def unknowns(self) -> np.ndarray:
        """The five numbers that Newton's method moves."""
        return np.array([self.up, self.up_slope, self.side, self.side_slope, self.burn])

    def later(self, past: float) -> InsertionAim:
        """Return the same steering as it counts from a time `past` [s] later; slopes unknown."""
        gone = past / UNIT
        up, side = self.up + self.up_slope * gone, self.side + self.side_slope * gone
        return InsertionAim(up, self.up_slope, side, self.side_slope, self.burn)


def plane_normal(launch: Launch) -> Vector:
    """Return the unit normal of the orbit's plane in the axes of the climb."""
    latitude, az = geocentric_latitude(launch.latitude), launch.azimuth
    return (-sin(latitude) * sin(az), -cos(az), cos(latitude) * sin(az))


def pitchover(launch: Launch, angle: float) -> SteeringLaw:
    """Return the steering off the pad: straight up, then pitched over to `angle` [rad] and held."""
    up, ahead = _pad_axes(launch)
    return SteeringLaw(
        PITCHOVER, up, ahead, float(launch.rise), float(launch.pitching), float(angle)
    )


gravity_turn = SteeringLaw(GRAVITY_TURN)  # along the way over ground


def plane_turn(launch: Launch) -> SteeringLaw:
    """Return a gravity turn that is kept in the plane of the launch azimuth, whatever drifts aside.

    In a cross wind a nose that followed its drift would turn it into a part of the way, to be
    flown out of the orbit's plane again.
    """
    up, ahead = _pad_axes(launch)
    across = (  # turning with the Earth
        up[1] * ahead[2] - up[2] * ahead[1],
        up[2] * ahead[0] - up[0] * ahead[2],
        up[0] * ahead[1] - up[1] * ahead[0],
    )
    return SteeringLaw(PLANE_TURN, across)


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


def _ahead(course: Course, steer: SteeringLaw, span: float) -> Course:
    look = course.copy()
    look.burn(steer, until=course.t + span)
    return look


def _pad_axes(launch: Launch) -> tuple[Vector, Vector]:
    """Return up (along the plumb line) and ahead over ground at the pad."""
    lat, az = launch.latitude, over_ground(launch.azimuth, launch.latitude)
    up = (cos(lat), 0.0, sin(lat))
    return up, (-sin(lat) * cos(az), sin(az), cos(lat) * cos(az))


def linear_tangent(aim: InsertionAim, since: float, normal: Vector) -> SteeringLaw:
    """Return the steering above the air, its time counting from `since` [s]."""
    tangents = Tangents(aim.up, aim.up_slope / UNIT, aim.side, aim.side_slope / UNIT)
    return SteeringLaw(LINEAR_TANGENT, normal, since=since, tangents=tangents)
