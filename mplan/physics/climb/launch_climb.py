"""A climb to orbit, flown: from the pad, or from any stage's ignition on.

Pitched over by one angle, the vehicle follows its path through the air; from the first
staging on it aims for the orbit (`insertion`). What cannot be flown is an answer too: the
climb then says in one sentence why, and where the vehicle comes down.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from math import acos, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.climb import guidance
from mplan.physics.climb.course import Course, Happening
from mplan.physics.climb.guidance import InsertionAim
from mplan.physics.climb.impact import Falling, Impact, impact
from mplan.physics.climb.launch_vehicle import NOMINAL, Dispersions, Launch, LaunchVehicle
from mplan.physics.climb.motion import Numbers
from mplan.physics.climb.profile import (
    ClimbSteering,
    SteeredCourse,
    fly_above_air,
    fly_profile,
    programme_of,
    release,
)
from mplan.physics.climb.stage_burns import (
    StageBurn,
    burned_on_pad,
    stage_burns,
    unflown_burns,
    unlit_stages,
)
from mplan.physics.climb.steering import SteeringLaw
from mplan.physics.climb.track import ClimbTrack, climb_mark, on_pad, track_of


class ClimbPeak(NamedTuple):
    """The greatest value of something, and when [s] and how high [m] it is met."""

    value: float
    t: float
    altitude: float


@dataclass(frozen=True)
class LaunchClimb:
    """A climb as flown. Where it does not reach its orbit, its track ends with its thrust.

    `left` [kg] is what the last stage could still use at insertion, negative where that much is
    lacking: its part, `duration` and `angle` are then those of tanks that held the rest, which
    tell what is short. `trouble` says why orbit is not reached, `fallen` where the vehicle then
    comes down.
    """

    vehicle: LaunchVehicle
    launch: Launch
    dispersions: Dispersions
    steering: ClimbSteering
    track: ClimbTrack
    parts: tuple[StageBurn, ...]
    duration: float  # s, lift-off to insertion
    angle: float  # rad, lift-off to insertion at Earth's centre, in inertial space
    left: float
    falling: tuple[Falling, ...]
    optimised: bool = False
    trouble: str = ""
    fallen: Impact | None = None
    released: float = 0.0  # kg, the vehicle at lift-off

    @property
    def reached(self) -> bool:
        """Whether it reaches its orbit with what it carries."""
        return not self.trouble

    @property
    def rises(self) -> bool:
        """Whether the vehicle leaves the pad."""
        return len(self.track.t) > 1

    @cached_property
    def impacts(self) -> tuple[Impact, ...]:
        """Where what is jettisoned comes down; what stays up is omitted."""
        pad = self.launch.latitude, self.launch.weather
        falls = [impact(body, *pad) for body in self.falling]
        return tuple(fall for fall in falls if fall)

    @property
    def losses(self) -> dict[str, float]:
        """Losses of the whole climb by cause [m/s]."""
        names = dict.fromkeys(name for part in self.parts for name in part.losses)
        return {x: sum(part.losses.get(x, 0.0) for part in self.parts) for x in names}

    @property
    def ideal(self) -> float:
        """Ideal velocity of the whole climb [m/s]."""
        return sum(part.ideal for part in self.parts)

    @property
    def gained(self) -> float:
        """Speed over ground gained [m/s]."""
        return sum(part.gained for part in self.parts)

    @property
    def most_dynamic_pressure(self) -> ClimbPeak:
        """Greatest dynamic pressure [Pa]."""
        return self._peak(self.track.dynamic_pressure)

    @property
    def most_acceleration(self) -> ClimbPeak:
        """Greatest acceleration sensed aboard [m/s2]."""
        return self._peak(self.track.acceleration)

    @property
    def most_load(self) -> ClimbPeak:
        """Greatest product of dynamic pressure and angle of attack [Pa rad]: what bends a stack."""
        return self._peak(self.track.dynamic_pressure * self.track.angle_of_attack)

    @property
    def attitudes(self) -> SteeringLaw:
        """The attitudes of the first stage in the air, by height, for another vehicle to hold."""
        return programme_of(self.track)

    def _peak(self, values: np.ndarray) -> ClimbPeak:
        i = int(np.argmax(values))
        return ClimbPeak(float(values[i]), float(self.track.t[i]), float(self.track.altitude[i]))


def lifts_off(vehicle: LaunchVehicle, launch: Launch, dispersions: Dispersions = NOMINAL) -> float:
    """Return thrust over weight at the release."""
    stage = vehicle.stages[0]
    push = stage.motor.thrust_sea_level + sum(b.motor.thrust_sea_level for b in stage.boosters)
    return (
        dispersions.thrust
        * push
        / ((vehicle.mass - sum(burned_on_pad(vehicle, launch, dispersions))) * c.G0)
    )


@lru_cache(maxsize=256)
def fly_climb(
    vehicle: LaunchVehicle,
    launch: Launch,
    steering: ClimbSteering,
    dispersions: Dispersions = NOMINAL,
    *,
    optimised: bool = False,
) -> LaunchClimb:
    """Return the climb from the pad, steered by a pitchover angle and the best aim above the air.

    One with dispersions is held to the planned attitudes, by height, while in the air,
    and aims for the orbit with what it then has.
    """
    if lifts_off(vehicle, launch, dispersions) <= 1.0:
        return replace(_grounded(vehicle, launch, steering, dispersions), optimised=optimised)
    course, path = recorded(vehicle, launch, steering, dispersions)
    return replace(_told(course, launch, steering, path), optimised=optimised)


def fly_programmed(
    vehicle: LaunchVehicle,
    launch: Launch,
    steering: ClimbSteering,
    programme: SteeringLaw,
    dispersions: Dispersions = NOMINAL,
) -> LaunchClimb:
    """Return the climb of a vehicle held in the air to a `programme` of attitudes by height.

    It may be that of another vehicle, as planned before this one was weighed (`attitudes`). From
    the first staging on it aims for the orbit with what it then has.
    """
    if lifts_off(vehicle, launch, dispersions) <= 1.0:
        return _grounded(vehicle, launch, steering, dispersions)
    course = release(vehicle, launch, dispersions)
    course.recording = True
    return _told(course, launch, steering, fly_profile(course, launch, steering, programme))


def recorded(
    vehicle: LaunchVehicle,
    launch: Launch,
    steering: ClimbSteering,
    dispersions: Dispersions = NOMINAL,
) -> tuple[Course, SteeredCourse]:
    """Return the course from the pad with its rows, and how it was steered above the air."""
    course = release(vehicle, launch, dispersions)
    course.recording = True
    programme = None
    if dispersions != NOMINAL:
        programme = programme_of(fly_climb(vehicle, launch, steering).track)
    return course, fly_profile(course, launch, steering, programme)


def resume_climb(
    planned: LaunchClimb, stage: int, t: float, s: Numbers, dispersions: Dispersions
) -> LaunchClimb:
    """Return the climb from a state `s` at `t` [s] on, where a stage (from zero) is to ignite.

    Of the stages below nothing is flown: the parts, the track and the angle begin at `t`. A first
    stage is flown by `fly_climb`.
    """
    start = (*s[:7], 0.0, 0.0, 0.0, 0.0, 0.0)
    course = Course(planned.vehicle, dispersions, t, start, planned.launch.weather)
    course.index, course.recording = stage - 1, True
    path = fly_above_air(course, planned.launch, planned.steering.aim if stage == 1 else None)
    return _told(course, planned.launch, planned.steering, path)


def propellant_left(
    vehicle: LaunchVehicle, launch: Launch, steering: ClimbSteering
) -> tuple[float, InsertionAim | None]:
    """Return what `fly_climb` would have left [kg] and its aim, without keeping the way there."""
    course = release(vehicle, launch, NOMINAL)
    path = fly_profile(course, launch, steering)
    if path.aim is None:
        return -path.short, None
    return course.alight.left + sum(x.propellant for x in unlit_stages(course)), path.aim


def _told(
    course: Course, launch: Launch, steering: ClimbSteering, path: SteeredCourse
) -> LaunchClimb:
    """Return a flown course as a climb."""
    vehicle, dispersions = course.vehicle, course.dispersions
    course.note("insertion" if path.aim else "end of thrust", vehicle.stages[course.index].name)
    idle = unlit_stages(course)
    left = idle[-1].propellant if idle and path.aim else 0.0
    if course.burning and not idle:
        left = course.burning.left
    trouble, fallen, told = path.trouble, None, path.dry or course
    if path.dry:
        trouble = f"the last stage runs dry {-left / 1e3:.2f} t of propellant before orbit"
        told.note("end of thrust", vehicle.stages[told.index].name)
    if trouble:
        left_over = sum(x.drag_area for x in vehicle.stages[told.index :])
        whole = Falling("the vehicle", told.t, told.s, told.s[6], left_over)
        fallen = impact(whole, launch.latitude, launch.weather)
    marks = tuple(climb_mark(x, launch.latitude) for x in told.happened)
    track = track_of(vehicle, dispersions, told.rows, marks, launch.latitude, launch.weather)
    return LaunchClimb(
        vehicle=vehicle,
        launch=launch,
        dispersions=dispersions,
        steering=replace(steering, aim=path.aim or steering.aim),
        track=track,
        parts=stage_burns(course, launch, dispersions),
        duration=course.t,
        angle=_angle(course.s, on_pad(launch.latitude, 1.0)),
        left=left,
        falling=tuple(_falling(told.happened, vehicle)),
        trouble=trouble,
        fallen=fallen,
        released=vehicle.mass - sum(burned_on_pad(vehicle, launch, dispersions)),
    )


def _falling(happened: list[Happening], vehicle: LaunchVehicle) -> Iterator[Falling]:
    """Yield what is jettisoned, as it is let go."""
    areas: dict[str, float] = {}
    for stage in vehicle.stages:
        areas[stage.name] = stage.drag_area
        areas |= {x.name: x.drag_area for x in stage.boosters}
        areas |= {x.name: x.drag_area for x in stage.drops}
    for x in happened:
        if x.what == "jettisoned":
            yield Falling(x.name, x.t, x.s, x.mass, areas[x.name])


def _angle(a: Numbers, b: Numbers) -> float:
    """Return the angle [rad] at Earth's centre between two places in inertial space."""
    along = sum(x * y for x, y in zip(a[:3], b[:3], strict=True))
    size = sqrt(sum(x * x for x in a[:3]) * sum(x * x for x in b[:3]))
    return acos(max(-1.0, min(1.0, along / size)))


def _grounded(
    vehicle: LaunchVehicle, launch: Launch, steering: ClimbSteering, dispersions: Dispersions
) -> LaunchClimb:
    """Return the climb of a vehicle that does not leave the pad: each stage's velocity, unused.

    The stages below the last are taken as burned out one after the other in the time they
    would take, so that the rest of a plan can be read.
    """
    ratio = lifts_off(vehicle, launch, dispersions)
    s = on_pad(launch.latitude, vehicle.mass)
    course = Course(vehicle, dispersions, 0.0, s, launch.weather)
    course.ignite()
    course.recording = True
    steer = guidance.pitchover(launch, 0.0)
    course.record(course.alight.push(dispersions.thrust), steer)
    marks = (climb_mark(course.happened[0], launch.latitude),)
    return LaunchClimb(
        vehicle=vehicle,
        launch=launch,
        dispersions=dispersions,
        steering=steering,
        track=track_of(vehicle, dispersions, course.rows, marks, launch.latitude, launch.weather),
        parts=tuple(unflown_burns(vehicle)),
        duration=sum(x.propellant / x.motor.flow + x.wait for x in vehicle.stages[:-1]),
        angle=0.0,
        left=vehicle.stages[-1].propellant,
        falling=(),
        trouble=f"the vehicle does not leave the pad: its thrust is {ratio:.2f} of its weight",
        released=vehicle.mass,
    )
