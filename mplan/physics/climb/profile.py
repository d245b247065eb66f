"""A climb's way from the pad to its orbit, flown stage by stage: in the air, then above it."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from math import inf, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.climb import guidance
from mplan.physics.climb.course import Band, Course, NoInsertion
from mplan.physics.climb.guidance import InsertionAim
from mplan.physics.climb.insertion import fly_to_cutoff, solve_insertion
from mplan.physics.climb.launch_vehicle import Dispersions, Launch, LaunchVehicle
from mplan.physics.climb.motion import altitude
from mplan.physics.climb.stage_burns import burned_on_pad
from mplan.physics.climb.steering import SteeringLaw, programmed
from mplan.physics.climb.track import ClimbTrack, on_pad

HANDOVER = 80e3  # m, where steering for the orbit begins at the latest
BARE = 50e3  # m, above which it begins when a booster is dropped
SUNK = -100.0  # m, below which a vehicle has come back to the ground


@dataclass(frozen=True)
class ClimbSteering:
    """How a climb is steered: the pitchover angle [rad], and the aim above the air to start from.

    `of` names the climb it was found for.
    """

    pitchover_angle: float
    aim: InsertionAim | None = None
    of: str = ""


class SteeredCourse(NamedTuple):
    """How a course was steered above the air: the first aim, and how it ran dry if it did.

    `dry` is the course where its last stage holds no more than it does; None where it need not.
    """

    aim: InsertionAim | None
    trouble: str = ""
    short: float = 0.0  # a score of how far off it ends, where there is no aim
    dry: Course | None = None


def release(vehicle: LaunchVehicle, launch: Launch, dispersions: Dispersions) -> Course:
    """Return the course at release, its first stage alight."""
    core, boosters = burned_on_pad(vehicle, launch, dispersions)
    state = on_pad(launch.latitude, vehicle.mass - core - boosters)
    course = Course(vehicle, dispersions, 0.0, state, launch.weather)
    course.ignite(before=launch.hold_down, burned=core)
    return course


def programme_of(track: ClimbTrack) -> SteeringLaw:
    """Return the attitudes of a flown climb's first stage, by height."""
    first = (track.stage == 0) & (track.thrust > 0.0)
    heights, at = np.unique(track.altitude[first], return_index=True)
    axes = zip(track.t[first][at].tolist(), track.nose[first][at].tolist(), strict=True)
    noses = [guidance.ground_axes(t, tuple(nose)) for t, nose in axes]
    return programmed(heights.tolist(), noses)


def fly_profile(
    course: Course, launch: Launch, steering: ClimbSteering, programme: SteeringLaw | None = None
) -> SteeredCourse:
    """Move a course on, through the air and above it, as far as it gets."""
    try:
        _fly_in_air(course, launch, steering, programme)
    except NoInsertion as problem:
        return SteeredCourse(None, str(problem), 1e9 - course.t)
    if altitude(course.s) < SUNK:
        return SteeredCourse(None, "the vehicle falls back to the ground", 1e9 - course.t)
    return fly_above_air(course, launch, steering.aim)


def _fly_in_air(
    course: Course, launch: Launch, steering: ClimbSteering, programme: SteeringLaw | None
) -> None:
    """Move a course on until it is to aim for the orbit, or is back at the ground."""
    if programme is None:
        guidance.fly_pitchover(course, launch, steering.pitchover_angle)
    boosters = len(course.vehicle.stages[0].boosters)

    def below(at: Course) -> Band:
        lit = at.burning
        bare = lit is not None and len(lit.attached) < boosters
        return Band(SUNK, BARE if bare else HANDOVER)

    follow = guidance.plane_turn(launch) if launch.weather.wind else guidance.gravity_turn
    if course.burn(programme or follow, within=below) and not course.last:
        course.separate()


def fly_above_air(course: Course, launch: Launch, guess: InsertionAim | None) -> SteeredCourse:
    """Aim for the orbit and fly there, aiming anew when an engine stops on the way."""
    normal, first = guidance.plane_normal(launch), None
    planned = course.dispersions
    for _ in range(2):  # one engine stops at most
        course.dispersions = replace(planned, engine_out=None)
        try:
            aim = _aim(course, launch, guess)
        except NoInsertion as problem:
            course.dispersions = planned
            return SteeredCourse(None, str(problem), _give_up(course, launch))
        finally:
            course.dispersions = planned
        first, since = first or aim, course.t
        steer, aimed = guidance.linear_tangent(aim, course.t, normal), _marked(course)
        if fly_to_cutoff(course, steer, aim.burn, _new_engine_out(course)):
            if course.alight.left >= 0.0:
                return SteeredCourse(first)
            fly_to_cutoff(aimed, steer, inf)
            return SteeredCourse(first, dry=aimed)
        guess = aim.later(course.t - since)
    raise AssertionError("no second engine stops")


def _aim(course: Course, launch: Launch, guess: InsertionAim | None) -> InsertionAim:
    """Return the aim with the last stage, or with the one below where that suffices."""
    try:
        return solve_insertion(course, launch, guess)
    except NoInsertion:
        next_up = course.index + (course.burning is None)
        if next_up >= course.final:  # the last stage burns, or is the next to
            raise
        sooner = course.copy()
        sooner.final -= 1
        aim = solve_insertion(sooner, launch)
        fly_to_cutoff(
            sooner, guidance.linear_tangent(aim, course.t, guidance.plane_normal(launch)), aim.burn
        )
        if sooner.alight.left < 0.0:
            raise
        course.final -= 1
        return aim


def _new_engine_out(course: Course) -> Callable[[Course], bool]:
    """Return a test for an engine that stops from now on."""
    known = len(course.happened)
    return lambda at: any(x.what == "engine out" for x in at.happened[known:])


def _give_up(course: Course, launch: Launch) -> float:
    """Burn all there is along a plain course, and return a score of how far off it ends [kg]."""
    rise = InsertionAim(0.5, -0.5, 0.0, 0.0, 0.0)
    steer = guidance.linear_tangent(rise, course.t, guidance.plane_normal(launch))

    with suppress(NoInsertion):  # what burns for hours on end has gone far enough
        for _ in course.vehicle.stages:
            if course.burning is None:
                course.ignite()
            if not course.burn(steer, within=lambda at: Band(SUNK)) or course.last:
                break
            course.separate()
    return 1e8 - 1e3 * sqrt(sum(x * x for x in course.s[3:6]))


def _marked(course: Course) -> Course:
    """Return a copy that keeps what the course has recorded, and records on as it does."""
    other = course.copy()
    other.recording, other.rows = course.recording, list(course.rows)
    other.happened = list(course.happened)
    return other
