"""What each stage gives to a climb: propellant, velocity gained, and losses by cause."""

from __future__ import annotations

from collections.abc import Mapping
from math import log, sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.climb.course import Course, Happening
from mplan.physics.climb.launch_vehicle import NOMINAL, Dispersions, Launch, LaunchVehicle, Stage
from mplan.physics.climb.motion import Numbers, ground_velocity

LOSSES = ("gravity", "drag", "steering", "pressure")


class StageBurn(NamedTuple):
    """What one stage gave: from the end of the burn before to the end of its own.

    Times [s] since lift-off, masses [kg], velocities [m/s]; `gained` is speed over ground, and
    gained + losses = `ideal`. `end_mass` is the vehicle's just after the burn.
    """

    name: str
    ignition: float
    cut_off: float
    propellant: float
    left: float
    ideal: float
    gained: float
    losses: Mapping[str, float]
    mass: float
    end_mass: float


def burned_on_pad(
    vehicle: LaunchVehicle, launch: Launch, dispersions: Dispersions = NOMINAL
) -> tuple[float, float]:
    """Return propellant burned on the pad by the first stage and by its boosters [kg]."""
    stage = vehicle.stages[0]
    full = stage.motor.at_full(launch.hold_down)
    flows = sum(b.motor.flow for b in stage.boosters)
    return dispersions.thrust * stage.motor.flow * full, dispersions.thrust * flows * full


def stage_burns(course: Course, launch: Launch, dispersions: Dispersions) -> tuple[StageBurn, ...]:
    """Return what each stage gave, from the states at ignitions and burn-outs."""
    found: list[StageBurn] = []
    before = course.happened[0]
    for lit in (x for x in course.happened if x.what == "ignition"):
        stage = next(x for x in course.vehicle.stages if x.name == lit.name)
        ends = (x for x in course.happened if x.what == "burn-out" and x.name == lit.name)
        end = next(ends, course.happened[-1])
        left = 0.0 if end.what == "burn-out" else course.alight.left
        unused = left + _dropped_full(stage, course)
        found.append(_part(stage, lit, before, end, left, unused))
        before = end
    if course.happened[0].t == 0.0:
        found[0] = _with_hold_down(found[0], course, launch, dispersions)
    return (*found, *(_never_lit(stage, course) for stage in unlit_stages(course)))


def unlit_stages(course: Course) -> tuple[Stage, ...]:
    """Return the stages above the one that a course has come to."""
    return course.vehicle.stages[course.index + 1 :]


def _never_lit(stage: Stage, course: Course) -> StageBurn:
    """Return the part of a stage that gives nothing: the climb has ended below it."""
    left = stage.propellant
    # Where the course broke off it may weigh less than what it holds: a velocity stays finite.
    mass = max(course.s[6] - course.vehicle.stages[course.index].dropped, 1.01 * left)
    return StageBurn(stage.name, course.t, course.t, 0.0, left, 0.0, 0.0, {}, mass, mass)


def _dropped_full(stage: Stage, course: Course) -> float:
    """Return the propellant [kg] that boosters took with them as they were dropped."""
    empty = {b.name: b.dropped for b in stage.boosters}
    went = (x for x in course.happened if x.what == "jettisoned" and x.name in empty)
    return sum(x.mass - empty[x.name] for x in went)


def _part(
    stage: Stage, lit: Happening, before: Happening, end: Happening, left: float, unused: float
) -> StageBurn:
    spent = stage.propellant - unused + sum(b.propellant for b in stage.boosters)
    ideal, *losses = (b - a for a, b in zip(before.s[7:], end.s[7:], strict=True))
    gained = _speed(end.s) - _speed(before.s)
    return StageBurn(
        stage.name,
        lit.t,
        end.t,
        spent,
        left,
        ideal,
        gained,
        dict(zip(LOSSES, losses, strict=True)),
        lit.s[6],
        end.s[6],
    )


def _with_hold_down(
    part: StageBurn, course: Course, launch: Launch, dispersions: Dispersions
) -> StageBurn:
    """Return the first part with what is burned on the pad, where it gains nothing."""
    burned = sum(burned_on_pad(course.vehicle, launch, dispersions))
    stage, full = course.vehicle.stages[0], course.vehicle.mass
    motors = [stage.motor, *(b.motor for b in stage.boosters)]
    jet = sum(m.thrust for m in motors) / sum(m.flow for m in motors)
    lost = jet * log(full / (full - burned))
    losses = {**part.losses, "hold-down": lost}
    start = part.ignition - launch.hold_down
    return part._replace(ignition=start, ideal=part.ideal + lost, losses=losses, mass=full)


def _speed(s: Numbers) -> float:
    return sqrt(sum(x * x for x in ground_velocity(s)))


def unflown_burns(vehicle: LaunchVehicle) -> list[StageBurn]:
    """Return the parts of a vehicle that stays on the pad, as told in `launch_climb`."""
    mass, t, found = vehicle.mass, 0.0, []
    for stage in vehicle.stages:
        last = stage is vehicle.stages[-1]
        spent = 0.0 if last else stage.propellant
        ideal = stage.motor.isp * c.G0 * log(mass / (mass - spent))
        end = t + spent / stage.motor.flow
        left = stage.propellant - spent
        found.append(
            StageBurn(stage.name, t, end, spent, left, ideal, ideal, {}, mass, mass - spent)
        )
        t, mass = end, mass - spent - stage.dropped
    return found
