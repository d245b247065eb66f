"""The directions of each burn as it was flown, leg by leg.

A burn that was found as an impulse and then flown out has the direction of the velocity to be
gained, in its middle; what is steered all the way has those of its ignition and cut-off. Speeds are
inertial, about the body's centre, but over the ground in a landing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.flight.pointing import impulses, steered
from mplan.flight.pointing.attitude import ThrustDirection, towards
from mplan.flight.pointing.impulses import PlannedImpulse
from mplan.flight.record import Passage
from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.physics.twobody import kepler

MIDDLE = "middle of the burn"


class PointedBurn(NamedTuple):
    """How a burn points: about which `body`, its directions, and speeds [m/s] of which kind.

    `name` is that of one burn of a row flown as one leg, "" else, `gained` [m/s] its size and
    `elapsed` [s since lift-off] when it is. A speed is None where it is not worked out.
    """

    body: str
    directions: tuple[ThrustDirection, ...]
    speed_at_ignition: float | None
    speed_at_cut_off: float | None
    speeds: str = "inertial"
    name: str = ""
    elapsed: float | None = None
    gained: float | None = None


def of(passage: Passage, end: State) -> tuple[PointedBurn, ...]:
    """Return how the burn of an event points, a row of burns one by one.

    `end` is the state at the end of the flight, which knows the date of lift-off.

    None where it is not known before the flight: of corrections, whose direction comes from
    tracking, and of what was not lit or ends early.
    """
    burn = passage.burn
    if burn is None or not burn.lit or burn.trouble:
        return ()
    if burn.leg == "climb":
        return tuple(_steered(steered.climb(passage, end)))
    if burn.leg == "powered descent":
        return tuple(_steered(steered.descent(passage)))
    if burn.leg == "lunar ascent":
        return tuple(_steered(steered.lunar_ascent(passage)))
    return tuple(_impulsive(each) for each in impulses.of(passage))


def _steered(flown: steered.SteeredThrust | None) -> Iterator[PointedBurn]:
    if flown is not None:
        yield PointedBurn(flown.body, flown.directions, *flown.speed, flown.speeds)


def _impulsive(each: PlannedImpulse) -> PointedBurn:
    mu = c.MU_EARTH if each.body == "Earth" else c.MU_MOON
    before = _speed(each.r, each.before, -each.lead, mu)
    after = _speed(each.r, each.after, each.tail, mu)
    at = MIDDLE if each.lead else "ignition"
    aim = towards(at, each.after - each.before, each.r, each.before, np.eye(3))
    gained = float(np.linalg.norm(each.after - each.before))
    elapsed = each.elapsed if each.name else None
    return PointedBurn(
        each.body, (aim,), before, after, name=each.name, elapsed=elapsed, gained=gained
    )


def _speed(r: np.ndarray, v: np.ndarray, later: float, mu: float) -> float:
    """Return the speed [m/s] on a conic `later` [s] than at `r` and `v`."""
    return float(np.linalg.norm(kepler(r, v, later, mu)[1] if later else v))
