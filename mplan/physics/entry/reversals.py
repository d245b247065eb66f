"""Bank reversals: lift steers sideways too, and goes over to the other side to come down on place.

The side is chosen as flown lifting entries chose it: it is kept until the plane of the path
leaves the target further aside than a deadband that narrows with the square of the speed, then the
bank goes over (R. Morth, reentry guidance for lunar returns, MIT R-532, 1966; from memory). How
often that happens is a result. Neglected: the seconds that rolling over takes, at 20 deg/s some
seven, in which lift points more upwards; the range is solved for with reversals at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin, sqrt

from mplan.physics import constants as c
from mplan.physics.entry.bank import NEAR, crossing
from mplan.physics.entry.entry_flight import (
    EntryFlight,
    EntryRow,
    EntryVehicle,
    fly_entry,
    ground_range,
)
from mplan.physics.entry.entry_motion import Six

CIRCULAR = sqrt(c.MU_EARTH / c.R_EARTH)  # m/s
WIDE = 0.0125  # rad of deadband at circular speed, the same source
NARROW = 0.00012  # rad, what is left of it at rest, the same
SLOW = 300.0  # m/s through the air, below which the bank is held: 1000 ft/s, the same
AROUND = 0.03  # of the share of lift that points up, in which steering sideways moves it
SPARED = 0.99  # of the load limit, kept to without side lift: steering sideways adds less
ON_PLACE = 2.5e3  # m
NARROWER = (1.0, 0.5, 0.25, 0.125)  # of the deadband


@dataclass(frozen=True)
class TowardsTarget:
    """Holds the path towards a target: a unit vector `t0` at the interface, fixed to the Earth.

    `wide`: the deadband at circular speed [rad]; infinite for a bank held to the side that it
    begins on, for comparison.
    """

    t0: tuple[float, float, float]
    wide: float = WIDE

    def side(self, row: EntryRow) -> float:
        """Return 1.0 where lift is to point right of the path, -1.0 for left."""
        aside = self.aside(row)
        if row.side == 0.0:
            return 1.0 if aside >= 0.0 else -1.0
        held = 1.0 if row.side > 0.0 else -1.0
        if row.speed < SLOW or aside * held > -deadband(row.speed, self.wide):
            return held
        return -held

    def aside(self, row: EntryRow) -> float:
        """Return how far the target lies right of the plane of the path [rad], over the Earth."""
        x, y, z, u, v, w = row.state
        a, b = u + c.W_EARTH * y, v - c.W_EARTH * x
        right = (b * z - w * y, w * x - a * z, a * y - b * x)
        size = sqrt(right[0] ** 2 + right[1] ** 2 + right[2] ** 2)
        turned = _turned(self.t0, c.W_EARTH * row.t)
        return sum(p * q for p, q in zip(turned, right, strict=True)) / size


def deadband(speed: float, wide: float = WIDE) -> float:
    """Return how far aside [rad] the target may lie at a `speed` [m/s] through the air."""
    return wide * (speed / CIRCULAR) ** 2 + NARROW


def towards(flown: EntryFlight, wide: float = WIDE) -> TowardsTarget:
    """Return the steering to where an entry without side lift came down."""
    last = flown.rows[-1]
    x, y, z = last.state[:3]
    r = sqrt(x * x + y * y + z * z)
    return TowardsTarget(_turned((x / r, y / r, z / r), -c.W_EARTH * last.t), wide)


def steer_sideways(
    flown: EntryFlight, state: Six, vehicle: EntryVehicle, stop: float
) -> EntryFlight:
    """Return an entry with its lift acting sideways too, down where it came down without.

    Where it ends further than `ON_PLACE` from there, a short entry for its bank, narrower
    deadbands are tried, and the nearest entry is taken. One without side lift, or that does
    not come down, is returned as it is.
    """
    if flown.end != "down" or not vehicle.lift_to_drag or abs(flown.steering.up) == 1.0:
        return flown
    best = flown
    for narrower in NARROWER:
        now = _to_range(flown, state, vehicle, stop, towards(flown, narrower * WIDE))
        if best is flown or miss(now, flown) < miss(best, flown):
            best = now
        if miss(best, flown) < ON_PLACE:
            break
    return best


def _to_range(
    flown: EntryFlight, state: Six, vehicle: EntryVehicle, stop: float, homing: TowardsTarget
) -> EntryFlight:
    """Return the entry homed to the range flown without side lift, within 500 m.

    By false position in the share of lift that points up; a reversal more or less makes
    the range jump by a few hundred metres, at which it may end.
    """
    up = flown.steering.up

    def homed(share: float) -> EntryFlight:
        steering = flown.steering._replace(up=share)
        return fly_entry(state, vehicle, steering, stop, homing=homing)

    def short(each: EntryFlight) -> float:
        return 1.0 / each.range - 1.0 / flown.range

    around = max(up - AROUND, -1.0), min(up + AROUND, 1.0)
    return crossing(homed, short, lambda each: abs(each.range - flown.range) < NEAR, around)[1]


def miss(flown: EntryFlight, target: EntryFlight) -> float:
    """Return how far [m] over the ground an entry comes down from another one."""
    end, there = flown.rows[-1], target.rows[-1]
    x, y, z = _turned(end.state[:3], c.W_EARTH * (there.t - end.t))
    return ground_range((x, y, z, 0.0, 0.0, 0.0), (*there.state[:3], 0.0, 0.0, 0.0), 0.0)


def _turned(p: tuple[float, float, float], angle: float) -> tuple[float, float, float]:
    """Return a vector turned about the Earth's axis by an `angle` [rad]."""
    x, y, z = p
    return cos(angle) * x - sin(angle) * y, sin(angle) * x + cos(angle) * y, z
