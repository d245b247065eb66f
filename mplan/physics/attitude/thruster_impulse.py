"""The impulse [N s] that thrusters give to turn a craft and to hold its attitude.

Each about one axis of a rigid body, with thrusters at a lever `arm` [m]; divided by the effective
exhaust velocity it is their propellant. Neglected: the products of inertia, sloshing, pulses that
a pilot or a filter adds.
"""

from __future__ import annotations

from math import pi


def of_turn(inertia: float, rate: float, arm: float) -> float:
    """Return what a turn from rest to rest takes: its `rate` [rad/s] is given and taken away.

    2 I w / L with the moment of inertia [kg m2], whatever the angle and the thrust (Wertz & Larson,
    Space Mission Analysis and Design, thruster sizing; from memory).
    """
    return 2.0 * inertia * rate / arm


def of_limit_cycle(
    inertia: float, pulse: float, arm: float, deadband: float, duration: float
) -> float:
    """Return what holding an attitude within +-`deadband` [rad] for `duration` [s] takes.

    No torque from outside: the craft drifts from one limit to the other, where the smallest
    `pulse` [N s] of the thrusters that fire together turns the drift round. Twice the drift is
    J L / I, so that one way takes 4 I d / (J L) (Brown, Spacecraft Propulsion, 1996, attitude
    control; read in lecture notes after it). One pulse a way: that source writes two.
    """
    return pulse * duration / crossing_time(inertia, pulse, arm, deadband)


def crossing_time(inertia: float, pulse: float, arm: float, deadband: float) -> float:
    """Return how long [s] a craft in a limit cycle drifts from one limit to the other."""
    return 4.0 * inertia * deadband / (pulse * arm)


def against_torque(torque: float, duration: float, arm: float) -> float:
    """Return what countering a mean `torque` [N m] for `duration` [s] takes, in any deadband."""
    return abs(torque) * duration / arm


def gravity_gradient(mu: float, radius: float, difference: float) -> float:
    """Return the mean size of the torque [N m] on a craft held still among the stars in orbit.

    3/2 n2 (I1 - I2) sin 2a, whose angle goes round twice a revolution: its mean is 2/pi of the
    greatest (Wertz & Larson, disturbance torques; from memory). `difference` [kg m2] is that of
    the moments of inertia; circular orbit of `radius` [m], the long axis in its plane.
    """
    return 3.0 / pi * mu / radius**3 * abs(difference)
