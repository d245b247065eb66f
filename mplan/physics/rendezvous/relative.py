"""How two craft on neighbouring orbits about one body stand to each other, and how they drift.

Two bodies alone. About the Moon its oblateness turns both orbits by nearly the same angle, a
quarter of a degree a revolution; what differs between the two is one to three kilometres along
the track over a whole coelliptic schedule, which the craft's own sightings show and later burns
take.
"""

from __future__ import annotations

from math import acos, asin, atan2, copysign, cos, pi, sin
from typing import TypeVar

import numpy as np

from mplan.physics.arcs.orbit import Orbit, apsides
from mplan.physics.twobody import conic, kepler, time_since_periapsis
from mplan.physics.vectors import cosine_between, cross, inner, length, unit

AnOrbit = TypeVar("AnOrbit", bound=Orbit)
ROUND = 1e-9  # eccentricity below which an orbit has no apsides


def orbit_at(orbit: AnOrbit, t: float) -> AnOrbit:
    """Return the orbit's state at `t` [TDB s]."""
    r, v = kepler(orbit.r, orbit.v, t - orbit.t, orbit.mu)
    return type(orbit)(t, r, v, orbit.degree)


def pushed(orbit: AnOrbit, dv: np.ndarray) -> AnOrbit:
    """Return the orbit after an impulse `dv` (3,) [m/s]."""
    return type(orbit)(orbit.t, orbit.r, orbit.v + dv, orbit.degree)


def orbit_axes(orbit: Orbit) -> np.ndarray:
    """Return the unit vectors up, ahead and across of a craft, as rows (3, 3)."""
    up, across = unit(orbit.r), orbit.normal
    return np.array([up, cross(across, up), across])


def distance_between(one: Orbit, other: Orbit) -> float:
    """Return the distance [m] between two craft at one time."""
    return length(other.r - one.r)


def phase_angle(active: Orbit, target: Orbit) -> float:
    """Return the angle [rad, -pi..pi] by which the target is ahead, in its own plane."""
    up, ahead, _ = orbit_axes(target)
    return -atan2(inner(active.r, ahead), inner(active.r, up))


def elevation(active: Orbit, target: Orbit) -> float:
    """Return the angle [rad] of the line of sight to the target over the active craft's horizon."""
    return asin(cosine_between(unit(target.r - active.r), unit(active.r)))


def offset(active: Orbit, target: Orbit) -> tuple[float, float, float]:
    """Return where the active craft is: ahead along the target's circle, above it, across [m]."""
    distance = length(target.r)
    above = length(active.r) - distance
    return -phase_angle(active, target) * distance, above, inner(active.r, target.normal)


def half_turn(orbit: Orbit) -> float:
    """Return the time [s] that the next half turn about the Moon takes."""
    low, high = apsides(orbit)
    if high - low < ROUND * high:
        return orbit.period / 2.0
    here = conic(orbit.r, orbit.v, orbit.mu)
    there = here.true_anomaly - copysign(pi, here.true_anomaly)
    since = time_since_periapsis(here.a, here.e, there, orbit.mu)
    return (since - here.since_periapsis) % orbit.period


def passing(orbit: Orbit, direction: np.ndarray) -> tuple[float, float]:
    """Return the radius [m] and climb [m/s] with which an orbit passes a direction in its plane."""
    h = cross(orbit.r, orbit.v)
    p = inner(h, h) / orbit.mu
    pointing = cross(orbit.v, h) / orbit.mu - unit(orbit.r)
    way = unit(direction)
    climb = orbit.mu / length(h) * inner(cross(pointing, way), unit(h))
    return p / (1.0 + inner(pointing, way)), climb


def angle_between(one: Orbit, other: Orbit) -> float:
    """Return the angle [rad] between the planes of two orbits."""
    return acos(max(-1.0, min(1.0, inner(one.normal, other.normal))))


def clohessy_wiltshire(rate: float, duration: float) -> np.ndarray:
    """Return the Clohessy-Wiltshire transition matrix (6, 6) of a craft near a circular orbit.

    Axes up, ahead and across of the circle, which is flown at `rate` [rad/s]; places [m], then
    velocities [m/s] as seen in those turning axes (Clohessy & Wiltshire 1960, J. Aerosp. Sci. 27,
    653-658; Curtis 2014, sec. 7.4). Good to the square of distance over radius.
    """
    n, x = rate, rate * duration
    s, k = sin(x), cos(x)
    return np.array(
        [
            [4.0 - 3.0 * k, 0.0, 0.0, s / n, 2.0 * (1.0 - k) / n, 0.0],
            [6.0 * (s - x), 1.0, 0.0, -2.0 * (1.0 - k) / n, (4.0 * s - 3.0 * x) / n, 0.0],
            [0.0, 0.0, k, 0.0, 0.0, s / n],
            [3.0 * n * s, 0.0, 0.0, k, 2.0 * s, 0.0],
            [-6.0 * n * (1.0 - k), 0.0, 0.0, -2.0 * s, 4.0 * k - 3.0, 0.0],
            [0.0, 0.0, -n * s, 0.0, 0.0, k],
        ]
    )
