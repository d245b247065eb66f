"""The last kilometre: slowed at gates along the line of sight, then stopped beside the target."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import NamedTuple

import numpy as np

from mplan.physics.arcs.orbit import Orbit
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.relative import distance_between, orbit_at, pushed
from mplan.physics.rendezvous.terms import Gate
from mplan.physics.vectors import inner, length, unit

LOOKS = 20
CLOSE = 0.01  # m: a gate is met this well


class BrakingBurn(NamedTuple):
    """A braking burn: the craft before it, the impulse [m/s], and the range [m] it is due at."""

    here: Orbit
    dv: np.ndarray
    range: float


def brake(
    active: Orbit, target: Orbit, arrival: float, gates: Sequence[Gate], station: float
) -> list[BrakingBurn]:
    """Return the braking of a craft that would meet its target at `arrival` [TDB s].

    At each gate what goes across the line of sight is taken out, and what is too fast along it;
    at `station` [m] all of it.
    """
    burns = []
    for reach, speed in (*gates, Gate(station, 0.0)):
        active = _at_range(active, target, reach, arrival)
        arrival = np.inf
        dv = _slowed(active, orbit_at(target, active.t), speed)
        burns.append(BrakingBurn(active, dv, reach))
        active = pushed(active, dv)
    return burns


def _slowed(active: Orbit, target: Orbit, speed: float) -> np.ndarray:
    towards = unit(target.r - active.r)
    relative = active.v - target.v
    return min(speed, inner(relative, towards)) * towards - relative


def _at_range(active: Orbit, target: Orbit, reach: float, arrival: float) -> Orbit:
    """Return the active craft as it comes within `reach` [m] of the target, by Newton's method."""
    t = active.t
    if isfinite(arrival):
        one, other = orbit_at(active, arrival), orbit_at(target, arrival)
        t = arrival - reach / length(one.v - other.v)
    for _ in range(LOOKS):
        here, there = orbit_at(active, t), orbit_at(target, t)
        short = distance_between(here, there) - reach
        closing = inner(here.v - there.v, unit(there.r - here.r))
        if abs(short) < CLOSE:
            return here
        if closing <= 0.0:
            break
        t += short / closing
    raise NoMeeting(f"it drifts off before it comes within {reach:.0f} m: braked too far out")
