"""Home from the Moon by two conics joined: a first guess, from no arc flown.

From the Moon's place to a perigee under the air in the required time, in every plane about the
Earth-Moon line, and from every point of a lunar orbit out to that asymptote (Battin 1999, ch. 11).
"""

from __future__ import annotations

from math import cos, pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import ROUND, LunarOrbit, places_ahead
from mplan.physics.bodies import ephemeris
from mplan.physics.roots import root
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import speed, time_since_periapsis, true_anomaly_at
from mplan.physics.vectors import cross, length, unit

PLACES, PLANES = 72, 48  # of the lunar orbit and about the Earth-Moon line
TURNS = np.arange(PLANES) * (2.0 * pi / PLANES)  # rad
FINE = 5
GUESSES = 3  # of places that are tried, should the first lead nowhere
INTERFACE_RADIUS = c.R_EARTH + c.ENTRY_INTERFACE
FASTEST = -8e-9  # 1/m, inverse of the semi-major axis: a hyperbola, some 40 h from the Moon


class ReturnPlane(NamedTuple):
    """A plane to come home in: the unit vectors about which it turns, and of its normal.

    The axis is where the arc comes from, roughly the Moon's direction; the ship flies about the
    normal in the right-handed sense.
    """

    axis: np.ndarray
    normal: np.ndarray

    def off(self, r: np.ndarray, v: np.ndarray) -> float:
        """Return by how much [rad] the plane of a state is turned from this one about the axis."""
        h = cross(r, v)
        return float(np.arctan2(h @ cross(self.axis, self.normal), h @ self.normal))


def perigee_for(entry_angle: float, radius: float, a: float) -> float:
    """Return the perigee radius [m] of a conic that crosses `radius` [m] at `entry_angle`."""
    h = radius * speed(radius, a, c.MU_EARTH) * cos(entry_angle)
    p = h * h / c.MU_EARTH
    return p / (1.0 + sqrt(max(0.0, 1.0 - p / a)))


def guess_return(
    orbit: LunarOrbit, time_of_flight: float, entry_angle: float, plane: ReturnPlane | None = None
) -> tuple[float, np.ndarray]:
    """Return the wait [s], within a revolution, and the burn [m/s] that joined conics find best."""
    return guess_returns(orbit, time_of_flight, entry_angle, plane)[0]


def guess_returns(
    orbit: LunarOrbit, time_of_flight: float, entry_angle: float, plane: ReturnPlane | None = None
) -> list[tuple[float, np.ndarray]]:
    """Return `GUESSES` waits [s] and burns [m/s], a sixth of a revolution apart, the best first."""
    asymptotes = return_asymptotes(orbit.t, time_of_flight, entry_angle, plane)
    count = PLACES if plane is None else FINE * PLACES  # one plane leaves time for more places
    waits, places, speeds = places_ahead(orbit, count)
    leaving = departures(places, asymptotes)
    burns = leaving - speeds[:, None, :]
    costs = np.linalg.norm(burns, axis=-1)
    if orbit.e > ROUND:
        costs[through_the_ground(places[:, None, :], leaving)] = np.inf
    found = []
    for _ in range(GUESSES):
        place, way = np.unravel_index(np.argmin(costs), costs.shape)
        found.append((float(waits[place]), burns[place, way]))
        beside = np.arange(place - count // 6, place + count // 6 + 1) % count
        costs[beside] = np.inf
    return found


def departures(places: np.ndarray, asymptotes: np.ndarray) -> np.ndarray:
    """Return the velocities at `places` (n, 3) that leave towards `asymptotes` (m, 3): (n, m, 3).

    Battin 1999, ch. 11: v = (D + v_inf / 2) s + (D - v_inf / 2) r, with s and r the unit
    vectors out. Places from which the path would first fall towards the Moon are not barred: from
    a circle such burns are dear and never chosen, and of an ellipse they are left out after this.
    """
    distance = np.linalg.norm(places, axis=-1)[:, None]
    v_inf = np.linalg.norm(asymptotes, axis=-1)[None, :]
    r_hat = (places / distance)[:, None, :]
    s_hat = asymptotes[None, :, :] / v_inf[..., None]
    opening = 1.0 + np.sum(r_hat * s_hat, axis=-1)
    d = np.sqrt(c.MU_MOON / (np.maximum(opening, 1e-9) * distance) + v_inf**2 / 4.0)
    return (d + v_inf / 2.0)[..., None] * s_hat + (d - v_inf / 2.0)[..., None] * r_hat


def through_the_ground(r: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Tell of which hyperbolas, through (n, 1, 3) with (n, m, 3), the perilune lies ahead and low.

    The periapsis is h2 / mu / (1 + e) (Vallado 2013, ch. 1).
    """
    h = np.cross(r, v)
    p = np.sum(h * h, axis=-1) / c.MU_MOON
    energy = np.sum(v * v, axis=-1) / 2.0 - c.MU_MOON / np.linalg.norm(r, axis=-1)
    e = np.sqrt(1.0 + 2.0 * energy * p / c.MU_MOON)
    return (np.sum(r * v, axis=-1) < 0.0) & (p / (1.0 + e) < c.R_MOON)


def return_asymptotes(
    t: float, time_of_flight: float, entry_angle: float, plane: ReturnPlane | None = None
) -> np.ndarray:
    """Return velocities against the Moon (n, 3) [m/s] of conics from its place to the air.

    They lead home in `PLANES` planes about the Earth-Moon line, or in the one nearest to `plane`.
    """
    luna = ephemeris.moon(t)
    distance = length(luna.r)
    a, perigee = _conic_home(distance, time_of_flight, entry_angle)
    pace = speed(distance, a, c.MU_EARTH)
    across = sqrt(c.MU_EARTH * perigee * (2.0 - perigee / a)) / distance
    inward = sqrt(max(0.0, pace**2 - across**2))
    up = unit(luna.r)
    over = _around(up, luna.v) if plane is None else unit(cross(plane.normal, up))[None]
    return -inward * up + across * over - luna.v


def entry_speed(t: float, time_of_flight: float, entry_angle: float) -> float:
    """Return the inertial speed [m/s] at the interface of the conic home from the Moon's place."""
    distance = length(ephemeris.moon(t).r)
    a, _ = _conic_home(distance, time_of_flight, entry_angle)
    return speed(INTERFACE_RADIUS, a, c.MU_EARTH)


def _around(up: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Return unit vectors (n, 3) all round across `up`, the first along the Moon's velocity."""
    ahead = unit(v - (v @ up) * up)
    return np.outer(np.cos(TURNS), ahead) + np.outer(np.sin(TURNS), cross(up, ahead))


def _conic_home(distance: float, time_of_flight: float, entry_angle: float) -> tuple[float, float]:
    """Return a and perigee [m] of the conic that falls from `distance` in the time."""

    def perigee_of(a: float) -> float:
        return perigee_for(entry_angle, INTERFACE_RADIUS, a)

    def fall(inverse: float) -> float:
        a = 1.0 / inverse
        perigee = perigee_of(a)
        e = 1.0 - perigee / a
        return time_since_periapsis(a, e, true_anomaly_at(distance, a, e), c.MU_EARTH)

    slowest = 2.0 / (distance + c.R_EARTH) * (1.0 - 1e-6)
    if time_of_flight >= fall(slowest):
        return 1.0 / slowest, perigee_of(1.0 / slowest)
    if time_of_flight <= fall(FASTEST):
        raise NoArc(f"{time_of_flight / c.HOUR:.1f} h is too short a flight home from the Moon")
    inverse = root(lambda x: fall(x) - time_of_flight, FASTEST, slowest)
    return 1.0 / inverse, perigee_of(1.0 / inverse)
