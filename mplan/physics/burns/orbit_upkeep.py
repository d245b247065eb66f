"""Keeping a low lunar orbit up: when its perilune has sunk too far, and the two burns that help.

The Moon's field makes a circle an ellipse within days: the mean height stays, the perilune sinks. A
burn at one apsis brings the other one back to its height, where a second burn sets the first one
right. Both are impulses: minutes of a two-hour revolution, they lose a thousandth of themselves.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.orbit import apsides
from mplan.physics.twobody import conic, speed
from mplan.physics.vectors import cross, unit

FASTEST = 20e3 / c.DAY  # m/s; to degree 8 a perilune at 110 km sinks by 9 km a day at the most
SHORTEST = 2.0 * c.HOUR  # s, between looks: a revolution, in which a perilune breathes by a km
LONGEST = 2.0 * c.DAY
ROUND = 1e-6  # eccentricity, below which a place on the orbit is no better than another


class Restored(NamedTuple):
    """An orbit set right again: right before either burn, after both, and the impulses [m/s]."""

    first: LunarOrbit
    second: LunarOrbit
    after: LunarOrbit
    impulses: tuple[float, float]

    @property
    def total(self) -> float:
        """Both burns together [m/s]."""
        return sum(self.impulses)


def sunk(orbit: LunarOrbit, lowest: float, until: float) -> LunarOrbit | None:
    """Return the orbit when its perilune is first seen below `lowest` [m], None if not by `until`.

    `until` is in [TDB s]. It is looked at once in a revolution where it is near.
    """
    while (low := apsides(orbit)[0]) >= lowest:
        if orbit.t >= until:
            return None
        wait = min(LONGEST, max(SHORTEST, (low - lowest) / FASTEST))
        orbit = coast(orbit, min(wait, until - orbit.t))
    return orbit


def restored(orbit: LunarOrbit, low: float, high: float) -> Restored:
    """Return the burns that lead to apsides of `low` and `high` [m], the first at the next one.

    Of perilune and apolune the first burn is made where both together are smaller.
    """
    near, far = apsides(orbit)
    at_apolune = _cost(far, near, low, high) <= _cost(near, far, high, low)
    first = coast(orbit, _to_apsis(orbit, apolune=at_apolune))
    pushed = _pushed(first, low if at_apolune else high)
    second = coast(pushed, pushed.period / 2.0)
    after = _pushed(second, high if at_apolune else low)
    sizes = (float(np.linalg.norm(y.v - x.v)) for x, y in ((first, pushed), (second, after)))
    return Restored(first, second, after, (next(sizes), next(sizes)))


def _pushed(orbit: LunarOrbit, other: float) -> LunarOrbit:
    """Return the orbit after a burn at an apsis that brings the other one to `other` [m]."""
    here = float(np.linalg.norm(orbit.r))
    fast = speed(here, (here + other) / 2.0, c.MU_MOON)
    return orbit._replace(v=fast * cross(orbit.normal, unit(orbit.r)))


def _cost(here: float, other: float, moved: float, last: float) -> float:
    """Return what both burns take [m/s]: at `here` [m] from `other` to `moved`, there to `last`."""
    sizes = [speed(here, (here + x) / 2.0, c.MU_MOON) for x in (other, moved)]
    sizes += [speed(moved, (moved + x) / 2.0, c.MU_MOON) for x in (here, last)]
    return abs(sizes[1] - sizes[0]) + abs(sizes[3] - sizes[2])


def _to_apsis(orbit: LunarOrbit, *, apolune: bool) -> float:
    """Return the time [s] to the next perilune or apolune; none on a circle."""
    if orbit.e < ROUND:
        return 0.0
    here = conic(orbit.r, orbit.v, c.MU_MOON)
    whole = 2.0 * pi * sqrt(here.a**3 / c.MU_MOON)
    return float(((0.5 if apolune else 1.0) * whole - here.since_periapsis) % whole)
