"""To which side lift is banked: the side that leads towards the target, as numbers and functions.

The rule and its sources are told in `reversals`.
"""

from __future__ import annotations

from math import cos, sin, sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.compiling import source
from mplan.physics.entry.entry_motion import Six
from mplan.physics.vectors import Vector

CIRCULAR = sqrt(c.MU_EARTH / c.R_EARTH)  # m/s
WIDE = 0.0125  # rad of deadband at circular speed
NARROW = 0.00012  # rad, what is left of it at rest
SLOW = 300.0  # m/s through the air, below which the bank is held: 1000 ft/s


class TowardsTarget(NamedTuple):
    """Holds the path towards a target: a unit vector `t0` at the interface, fixed to the Earth.

    `wide`: the deadband at circular speed [rad]; infinite for a bank held to the side that it
    begins on, for comparison. With `straight` there is no lift to a side at all.
    """

    t0: Vector
    wide: float = WIDE
    straight: bool = False


STRAIGHT = TowardsTarget((0.0, 0.0, 0.0), WIDE, straight=True)


@source
def side(t: float, state: Six, speed: float, before: float, homing: TowardsTarget) -> float:
    """Return 1.0 where lift is to point right of the path, -1.0 for left.

    `speed` is that through the air [m/s], `before` the share of the lift that pointed right.
    """
    off = aside(t, state, homing)
    if before == 0.0:
        return 1.0 if off >= 0.0 else -1.0
    held = 1.0 if before > 0.0 else -1.0
    if speed < SLOW or off * held > -deadband(speed, homing.wide):
        return held
    return -held


@source
def aside(t: float, state: Six, homing: TowardsTarget) -> float:
    """Return how far the target lies right of the plane of the path [rad], over the Earth."""
    x, y, z, u, v, w = state
    a, b = u + c.W_EARTH * y, v - c.W_EARTH * x
    p, q, r = b * z - w * y, w * x - a * z, a * y - b * x  # to the right
    size = sqrt(p * p + q * q + r * r)
    i, j, k = about_pole(homing.t0, c.W_EARTH * t)
    return (i * p + j * q + k * r) / size


@source
def deadband(speed: float, wide: float) -> float:
    """Return how far aside [rad] the target may lie at a `speed` [m/s] through the air."""
    share = speed / CIRCULAR
    return wide * (share * share) + NARROW


@source
def about_pole(p: Vector, angle: float) -> Vector:
    """Return a vector turned about the Earth's axis by an `angle` [rad]."""
    x, y, z = p
    return cos(angle) * x - sin(angle) * y, sin(angle) * x + cos(angle) * y, z
