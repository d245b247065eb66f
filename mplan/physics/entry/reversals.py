"""Bank reversals: lift steers sideways too, and goes over to the other side to come down on place.

The side is chosen as flown lifting entries chose it: it is kept until the plane of the path
leaves the target further aside than a deadband that narrows with the square of the speed, then the
bank goes over (R. Morth, reentry guidance for lunar returns, MIT R-532, 1966; from memory). How
often that happens is a result. Neglected: the seconds that rolling over takes, at 20 deg/s some
seven, in which lift points more upwards; the range is solved for with reversals at once.
"""

from __future__ import annotations

from math import sqrt

from mplan.physics import constants as c
from mplan.physics.entry.bank import NEAR, crossing
from mplan.physics.entry.entry_flight import (
    EntryFlight,
    EntryVehicle,
    fly_entry,
)
from mplan.physics.entry.entry_motion import Six
from mplan.physics.entry.homing import WIDE, TowardsTarget, about_pole
from mplan.physics.entry.over_ground import ground_range

AROUND = 0.03  # of the share of lift that points up, in which steering sideways moves it
SPARED = 0.99  # of the load limit, kept to without side lift: steering sideways adds less
ON_PLACE = 2.5e3  # m
NARROWER = (1.0, 0.5, 0.25, 0.125)  # of the deadband


def towards(flown: EntryFlight, wide: float = WIDE) -> TowardsTarget:
    """Return the steering to where an entry without side lift came down."""
    last = flown.last
    x, y, z = last.state[:3]
    r = sqrt(x * x + y * y + z * z)
    return TowardsTarget(about_pole((x / r, y / r, z / r), -c.W_EARTH * last.t), wide)


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
    end, there = flown.last, target.last
    x, y, z = about_pole(end.state[:3], c.W_EARTH * (there.t - end.t))
    return ground_range((x, y, z, 0.0, 0.0, 0.0), (*there.state[:3], 0.0, 0.0, 0.0), 0.0)
