"""Which way a thrust points while it lasts: along the velocity, held among stars, or turning."""

from __future__ import annotations

from math import cos, sin
from typing import NamedTuple

import numpy as np

from mplan.physics.vectors import Vector, cross, floats, unit

NONE: Vector = (0.0, 0.0, 0.0)


class Steering(NamedTuple):
    """The unit vector of a thrust, as a sum of parts, by plain numbers that integrators can carry.

    `along` of the unit velocity, `aside` of the unit normal of the orbit, `held` among the stars
    (ICRF); and what turns at a `rate` [rad/s] from `turning` at `since` [TDB s] to `across`. Place
    and velocity are those about the body that the burn is steered by.
    """

    along: float = 0.0
    aside: float = 0.0
    held: Vector = NONE
    turning: Vector = NONE
    across: Vector = NONE
    rate: float = 0.0
    since: float = 0.0

    def points(self, t: float, r: np.ndarray, v: np.ndarray) -> np.ndarray:
        """Return the unit vector (3,) at `t` [TDB s], a place [m] and a velocity [m/s] (3,)."""
        found = np.array(self.held)
        if self.along:
            found = found + self.along * unit(v)
        if self.aside:
            found = found + self.aside * unit(cross(r, v))
        if self.rate:
            angle = self.rate * (t - self.since)
            found = found + cos(angle) * np.array(self.turning) + sin(angle) * np.array(self.across)
        return found


def along_velocity(sense: float) -> Steering:
    """Return the steering along the velocity: forwards (1.0) or against it (-1.0)."""
    return Steering(along=sense)


def out_of_plane(along: float, aside: float) -> Steering:
    """Return the steering at an angle to the velocity: parts of a unit vector along it and aside.

    `aside` is towards the orbit's normal.
    """
    return Steering(along=along, aside=aside)


def steady(direction: np.ndarray) -> Steering:
    """Return the steering that holds a direction among the stars."""
    return Steering(held=floats(unit(direction)))


def at_turn_rate(direction: np.ndarray, axis: np.ndarray, rate: float, t: float) -> Steering:
    """Return the steering that turns from a direction at `t` [TDB s] about `axis` at a `rate`.

    Right-handed, at `rate` [rad/s]: about the orbit's normal with the motion, as a craft pitches
    to stay level.
    """
    first, about = unit(direction), unit(axis)
    if not rate:
        return steady(direction)
    held = float(first @ about) * about
    return Steering(
        held=floats(held),
        turning=floats(first - held),
        across=floats(cross(about, first)),
        rate=rate,
        since=t,
    )
