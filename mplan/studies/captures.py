"""Into lunar orbit in one, two or three burns, from the arrival that was flown.

One burn goes straight into the last orbit: the circle or, of an ellipse, its perilune. Two stop
over in an ellipse, so that the second can put right what the first left. Three go out far before
they turn: worth it only where the plane has to be changed, which is cheap far out;
`orbits.capture_plane_change` flies it. Impulsive, about the Moon alone; what a burn loses by
lasting is in the budget.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.flight import lunar_orbit
from mplan.physics import constants as c
from mplan.physics.twobody import period, plane_change, speed
from mplan.plan import Plan
from mplan.scenario.stated import stated

FAR = 10_000e3  # m, apolune altitude of the three-burn way (about 18 h out and back)
STOP_OVER = 2  # revolutions in the ellipse of the two-burn way
USUAL_APOLUNE = 310e3  # m, altitude, where the scenario names none


class Capture(NamedTuple):
    """A way into the circle: each burn [m/s], and the time from the first to the last [s]."""

    name: str
    burns: tuple[float, ...]
    duration: float

    @property
    def total(self) -> float:
        """All burns together [m/s]."""
        return sum(self.burns)


def capture_options(plan: Plan, turn: float = 0.0) -> tuple[Capture, ...]:
    """Return the three ways into the plan's orbit, with the plane turned by `turn` [rad].

    The turn is made in the burn where it is cheapest: the last of one or two, the one far out
    of three. A plan that itself takes three burns says how far out. A plan that is captured in
    several revolutions has these as a fourth way.
    """
    orbits = plan.scenario.orbits
    far = (
        FAR
        if orbits.capture_plane_change is None
        else stated(orbits.capture_apolune, "orbits.capture_apolune")
    )
    arrival = plan.flight.end.outbound.perilune
    here = float(np.linalg.norm(arrival.lunar_r))
    fast = float(np.linalg.norm(arrival.lunar_v))
    slow = speed(here, (here + max(here, lunar_orbit.apolune(plan.scenario))) / 2.0, c.MU_MOON)
    steps = orbits.capture_revolutions
    stepped = (_stepped(here, fast, slow, orbits.capture_apolune, steps, turn),)
    return (
        Capture("one burn", (_turning(fast, slow, turn),), 0.0),
        _two(here, fast, slow, orbits.capture_apolune or USUAL_APOLUNE, turn),
        _three(here, fast, slow, far, turn),
        *(stepped if steps > 1 else ()),
    )


def _two(here: float, fast: float, slow: float, apolune: float, turn: float) -> Capture:
    a = (here + c.R_MOON + apolune) / 2.0
    between = speed(here, a, c.MU_MOON)
    return Capture(
        "two burns",
        (fast - between, _turning(between, slow, turn)),
        STOP_OVER * 2.0 * pi * sqrt(a**3 / c.MU_MOON),
    )


def _three(here: float, fast: float, slow: float, apolune: float, turn: float) -> Capture:
    far = c.R_MOON + apolune
    a = (here + far) / 2.0
    between, out = speed(here, a, c.MU_MOON), speed(far, a, c.MU_MOON)
    return Capture(
        "three burns",
        (fast - between, plane_change(out, turn), between - slow),
        2.0 * pi * sqrt(a**3 / c.MU_MOON),
    )


def _stepped(
    here: float, fast: float, slow: float, apolune: float | None, count: int, turn: float
) -> Capture:
    """Return the way down from `apolune` [m] in `count` revolutions, by burns of like impulse."""
    first = speed(here, (here + c.R_MOON + (apolune or USUAL_APOLUNE)) / 2.0, c.MU_MOON)
    paces = np.linspace(first, slow, count + 1).tolist()
    axes = [1.0 / (2.0 / here - pace**2 / c.MU_MOON) for pace in paces[:-1]]
    lowered = [before - after for before, after in pairwise(paces[:-1])]
    return Capture(
        f"{count} revolutions",
        (fast - first, *lowered, _turning(paces[-2], slow, turn)),
        sum(period(a, c.MU_MOON) for a in axes),
    )


def _turning(before: float, after: float, turn: float) -> float:
    """Return the burn [m/s] that changes a level speed and turns its plane at once."""
    return sqrt(before**2 + after**2 - 2.0 * before * after * cos(turn))
