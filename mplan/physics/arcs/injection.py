"""To the Moon at a given moment, out of a circular orbit whose plane may lie as it must.

The burn is along the velocity. Its three unknowns are the node of the orbit, the place in it and
the size of the burn; its targets those of `outbound`, of which this is the part without a launch
site: perilune, plane of the passage and time of flight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, cos, pi, sin, sqrt

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import bplane, nbody
from mplan.physics.arcs.outbound import LunarPlane, Side, aim_miss, ellipse, plane_through
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.bodies.earth import true_equator_of_day
from mplan.physics.targeting import Scaling, solve_abreast
from mplan.physics.twobody import circular_speed, kepler, speed, true_anomaly_at
from mplan.physics.vectors import freeze, unit

AIM = Scaling(
    step=np.array([1e-5, 1e-5, 0.01]),  # rad, rad, m/s
    limit=np.array([0.08, 0.08, 40.0]),
    tolerance=np.array([1.0, 1.0, 1e-3]),  # m, m, s
)


@dataclass(frozen=True)
class Circle:
    """A circular orbit about Earth left at `t` [TDB s]: radius [m], inclination [rad].

    The inclination is to the true equator of the day; the node is free.
    """

    t: float
    radius: float
    inclination: float

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    def state(self, node: float, argument: float) -> tuple[np.ndarray, np.ndarray]:
        """Return GCRS position [m] and velocity [m/s] at an argument of latitude [rad]."""
        i, u = self.inclination, argument
        east = np.array([cos(node), sin(node), 0.0])
        north = np.array([-sin(node) * cos(i), cos(node) * cos(i), sin(i)])
        of_date = true_equator_of_day(self.t)
        ahead = -sin(u) * east + cos(u) * north
        r = self.radius * (cos(u) * east + sin(u) * north)
        return r @ of_date, circular_speed(self.radius, c.MU_EARTH) * ahead @ of_date


@dataclass(frozen=True)
class FlownInjection:
    """A flown injection: node, argument [rad], burn [m/s], GCRS state after it and at perilune."""

    node: float
    argument: float
    delta_v: float
    r: np.ndarray
    v: np.ndarray
    perilune: nbody.Arrival

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def asymptote(self) -> bplane.Asymptote:
        """The incoming hyperbola at the Moon."""
        return bplane.asymptote(self.perilune.lunar_r, self.perilune.lunar_v, c.MU_MOON)


def fly_injection(orbit: Circle, unknowns: np.ndarray, duration: float) -> FlownInjection:
    """Fly the injection of `unknowns` (node [rad], argument [rad], burn [m/s]) to perilune.

    `duration` [s] bounds the flight.
    """
    return _fly_injections(orbit, [unknowns], duration)[0]


def _fly_injections(
    orbit: Circle, unknowns: Sequence[np.ndarray], duration: float
) -> list[FlownInjection]:
    """Fly several injections abreast: see `fly_injection`."""
    starts = [orbit.state(float(node), float(argument)) for node, argument, _ in unknowns]
    burned = [(r, v + x[2] * unit(v)) for (r, v), x in zip(starts, unknowns, strict=True)]
    arcs = [nbody.ArcStart(r, v, orbit.t, duration) for r, v in burned]
    return [
        FlownInjection(float(x[0]), float(x[1]), float(x[2]), arc.r, arc.v, end)
        for x, arc, end in zip(unknowns, arcs, nbody.fly_abreast(arcs, "perilune"), strict=True)
    ]


def target_injection(
    orbit: Circle, start: np.ndarray, *, time_of_flight: float, perilune: float, plane: LunarPlane
) -> FlownInjection:
    """Return the injection that reaches `perilune` [m, radius] in `time_of_flight` [s].

    `start` are unknowns near it, as of `first_guess`; `plane` gives the normal of the orbit at
    the Moon. NoArc if there is none.
    """
    pole = selenography.lunar_pole(orbit.t)

    def miss(flown: FlownInjection) -> np.ndarray:
        t = flown.perilune.t
        off = aim_miss(flown.asymptote, perilune, plane(flown.asymptote, t), pole)
        return np.array([*off, t - orbit.t - time_of_flight])

    def misses(xs: Sequence[np.ndarray]) -> list[np.ndarray]:
        return [miss(x) for x in _fly_injections(orbit, xs, 1.6 * time_of_flight)]

    return fly_injection(orbit, solve_abreast(misses, start, AIM), 1.6 * time_of_flight)


def guess_injection(orbit: Circle, time_of_flight: float, side: Side) -> np.ndarray:
    """Return two-body unknowns: an ellipse to the Moon's place at arrival, its pull neglected."""
    luna = ephemeris.moon(orbit.t + time_of_flight).r
    distance = float(np.linalg.norm(luna))
    node, moon_argument = plane_through(luna, orbit.inclination, orbit.t, side)
    a, e = ellipse(orbit.radius, distance, time_of_flight)
    burn = speed(orbit.radius, a, c.MU_EARTH) - circular_speed(orbit.radius, c.MU_EARTH)
    argument = (moon_argument - true_anomaly_at(distance, a, e)) % (2.0 * pi)
    return np.array([node, argument, burn])


def patched_speed(
    orbit: Circle, guess: np.ndarray, time_of_flight: float, perilune: float
) -> float:
    """Return the speed [m/s] at `perilune` [m, radius] that joined conics give a first guess.

    The ellipse's velocity at the Moon's place, less the Moon's, is the speed far out of a
    hyperbola about the Moon (Bate, Mueller & White 1971, ch. 7, the Moon's sphere shrunk to a
    point).
    """
    r, v = orbit.state(float(guess[0]), float(guess[1]))
    _, there = kepler(r, v + guess[2] * unit(v), time_of_flight, c.MU_EARTH)
    v_inf = there - ephemeris.moon(orbit.t + time_of_flight).v
    return sqrt(float(v_inf @ v_inf) + 2.0 * c.MU_MOON / perilune)


def level(approach: float) -> LunarPlane:
    """Return the plane as near to the Moon's equator as the incoming asymptote lets it.

    `approach` is 1 for a prograde orbit about the Moon, -1 for a retrograde one.
    """

    def plane(incoming: bplane.Asymptote, t: float) -> np.ndarray:
        pole = selenography.lunar_pole(t)
        return approach * unit(pole - (pole @ incoming.s) * incoming.s)

    return plane


def least_inclination(t: float) -> float:
    """Return the Moon's angle [rad] from Earth's equator: no smaller inclination does."""
    return abs(asin(float((true_equator_of_day(t) @ unit(ephemeris.moon(t).r))[2])))
