"""What each item of the thruster budget takes of a craft's thrusters [kg]."""

from __future__ import annotations

from mplan.physics.attitude import thruster_impulse
from mplan.physics.constants import DAY, G0
from mplan.physics.rocket import propellant
from mplan.scenario import Engine
from mplan.scenario.thruster_budget import ItemName, PhaseRules, ThrusterBudget
from mplan.vehicle.control.thrusting import Thrusters

Items = dict[ItemName, float]


def turns(by: Thrusters, rate: float, count: float) -> Items:
    """Return so many turns from rest to rest at a rate [rad/s], each about all three axes."""
    craft, arms = by.properties, by.arms
    pitch = thruster_impulse.of_turn(craft.pitch, rate, arms.pitch)
    roll = thruster_impulse.of_turn(craft.roll, rate, arms.roll)
    return {"turns": count * by.propellant(2.0 * pitch + roll)}


def rolls(by: Thrusters, rate: float, count: float) -> Items:
    """Return so many turns about the long axis alone."""
    impulse = thruster_impulse.of_turn(by.properties.roll, rate, by.arms.roll)
    return {"turns": count * by.propellant(impulse)}


def coasting(
    by: Thrusters,
    use: PhaseRules,
    budget: ThrusterBudget,
    duration: float,
    orbit: tuple[float, float] | None,
) -> Items:
    """Return what attitude takes in `duration` [s], in an `orbit` of mu [m3/s2] and radius [m]."""
    found = turns(by, use.turn_rate, use.turns_a_day * duration / DAY)
    if use.rotation:
        return {**found, **_rotating(by, budget, duration)}
    held = 2.0 * _held(by, use.deadband, duration)
    found["limit cycles"] = held + _held_in_roll(by, use.deadband, duration)
    if orbit is not None and use.attitude == "inertial":
        difference = by.properties.pitch - by.properties.roll
        torque = thruster_impulse.gravity_gradient(*orbit, difference)
        impulse = thruster_impulse.against_torque(torque, duration, by.arms.pitch)
        found["gravity gradient"] = by.propellant(impulse, pulsed=True)
    return found


def _rotating(by: Thrusters, budget: ThrusterBudget, duration: float) -> Items:
    """Return the rotation, begun and ended some times a day, its axis held in a wide deadband."""
    spin = thruster_impulse.of_turn(by.properties.roll, budget.rotation_rate, by.arms.roll)
    times = budget.rotations_a_day * duration / DAY
    held = 2.0 * _held(by, budget.rotation_deadband, duration)
    return {"thermal rotation": times * by.propellant(spin) + held}


def _held(by: Thrusters, deadband: float, duration: float) -> float:
    """Return what a limit cycle in pitch takes [kg]; one in yaw takes the same."""
    inertia, arm = by.properties.pitch, by.arms.pitch
    impulse = thruster_impulse.of_limit_cycle(inertia, by.pulse, arm, deadband, duration)
    return by.propellant(impulse, pulsed=True)


def _held_in_roll(by: Thrusters, deadband: float, duration: float) -> float:
    inertia, arm = by.properties.roll, by.arms.roll
    impulse = thruster_impulse.of_limit_cycle(inertia, by.pulse, arm, deadband, duration)
    return by.propellant(impulse, pulsed=True)


def pushed(by: Thrusters, mass: float, delta_v: float) -> float:
    """Return what a `delta_v` [m/s] of a `mass` [kg] takes."""
    return propellant(by.engine.isp_vacuum, mass, delta_v)


def steering(by: Thrusters, engine: Engine, burned: float, offset: float) -> Items:
    """Return what holds a craft against a fixed engine that has `burned` so much [kg].

    Its thrust passes the centre of mass at an `offset` [m], the same way throughout.
    """
    impulse = burned * engine.isp_vacuum * G0  # N s
    turning = thruster_impulse.against_torque(impulse * offset, 1.0, by.arms.pitch)
    return {"steering": by.propellant(turning)}
