"""What control must be able to do: counter what disturbs the craft, and carry out its tasks.

Each is an angular acceleration; the criteria stand in the scenario's [control].
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sin

from mplan.physics.climb import normal_force
from mplan.vehicle.control import outline
from mplan.vehicle.control.condition import Airflow, Condition, aside, outermost, radius
from mplan.vehicle.control.contribution import Contribution


def required(at: Condition) -> tuple[Contribution, ...]:
    """Return every demand at a moment."""
    return (*_disturbances(at), *_tasks(at))


def _disturbances(at: Condition) -> Iterator[Contribution]:
    if at.air is not None and at.air.dynamic_pressure:
        yield Contribution("aerodynamic moment at the design wind", _aerodynamic(at, at.air), 0.0)
    if at.lit:
        yield _misalignment(at)
        thrust = sum(lit.count * lit.thrust for lit in at.lit)
        offset = thrust * at.scenario.control.centre_of_mass_offset
        yield Contribution("centre-of-mass offset", offset / at.properties.pitch, 0.0)
    if at.lost is not None:
        lacking = at.lost.thrust * outermost(at, at.lost)
        yield Contribution("one engine out", lacking / at.properties.pitch, 0.0)
        if at.uneven:
            drawn = at.uneven * aside(at, at.lost.element) / at.mass  # m, the centre of mass
            thrust = sum(lit.count * lit.thrust for lit in at.lit)
            turns = thrust * drawn / at.properties.pitch
            yield Contribution("propellant left on one side", turns, 0.0)


def _aerodynamic(at: Condition, air: Airflow) -> float:
    """Return what the air does to the craft [rad/s2], where it is unstable.

    A stable craft turns into the wind by itself, which has to be held as well: the size counts.
    """
    slope = normal_force.moment(outline.surfaces(at), at.properties.centre)
    return abs(air.dynamic_pressure * air.attack * slope) / at.properties.pitch


def _misalignment(at: Condition) -> Contribution:
    """Return what engines do that are all misaligned the same way, the worst case.

    About the roll axis a cluster has the arm of its mounts, a single engine the offset of the
    centre of mass.
    """
    criteria = at.scenario.control
    pitch = roll = 0.0
    for lit in at.lit:
        across = lit.count * lit.thrust * sin(criteria.thrust_misalignment)
        pitch += across * at.arm(lit.element)
        roll += across * (radius(at, lit) or criteria.centre_of_mass_offset)
    properties = at.properties
    return Contribution("thrust misalignment", pitch / properties.pitch, roll / properties.roll)


def _tasks(at: Condition) -> Iterator[Contribution]:
    """Yield the tasks; turning is from rest to rest: half of the time faster, half slower."""
    criteria, tasks = at.scenario.control, at.tasks
    if tasks.steer:
        yield Contribution("powered steering", criteria.powered_steering, 0.0)
    if tasks.hold:
        yield Contribution("attitude hold", criteria.attitude_hold, criteria.attitude_hold)
    if tasks.turn:
        turning = 4.0 * criteria.turn_angle / criteria.turn_time**2
        yield Contribution("turn to attitude", turning, turning)
    if tasks.null_separation:
        nulling = criteria.separation_rate / criteria.separation_nulling_time
        yield Contribution("separation rate", nulling, 0.0)
    if tasks.dock:
        yield Contribution("docking", criteria.docking_rotation, criteria.docking_rotation)
    if tasks.bank:
        banking = 4.0 * criteria.bank_angle / criteria.bank_time**2
        yield Contribution("turning the lift vector", 0.0, banking)
