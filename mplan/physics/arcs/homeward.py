"""Home from a lunar orbit: where to burn and which way, so that an integrated arc meets the air.

The first guess joins two conics: from the Moon's place to a perigee under the air in the required
time, in every plane about the Earth-Moon line, and from every point of the lunar orbit out to
that asymptote (Battin 1999, ch. 11); the cheapest pair is kept. Newton's method on integrated
arcs then finds the smallest burn that meets both targets, there and a little before and after,
and the best of the places between.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from math import cos, pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.bplane import asymptote
from mplan.physics.arcs.lunar_orbit import ROUND, LunarOrbit, coast, places_ahead
from mplan.physics.bodies import ephemeris
from mplan.physics.roots import root
from mplan.physics.targeting import NoArc, Scaling, solve_abreast
from mplan.physics.twobody import (
    conic,
    kepler,
    speed,
    time_since_periapsis,
    true_anomaly_at,
)
from mplan.physics.vectors import cross, freeze, length, unit

PLACES, PLANES = 72, 48  # of the lunar orbit and about the Earth-Moon line, in the first guess
FINE = 5
WALK = 36  # places, half of a revolution
GUESSES = 3  # of places that are tried, should the first lead nowhere
INTERFACE_RADIUS = c.R_EARTH + c.ENTRY_INTERFACE
FASTEST = -8e-9  # 1/m, inverse of the semi-major axis: a hyperbola, some 40 h from the Moon

SCALING = Scaling(
    step=np.full(3, 0.01),  # m/s
    limit=np.full(3, 150.0),
    tolerance=np.array([1.0, 1e-2]),  # m of perigee (0.00001 deg at the interface), s
)
ROUGH = SCALING._replace(tolerance=np.array([1e3, 10.0]))  # the burn is then good to 0.01 m/s
PLANE_TOLERANCE = 1e-4  # rad


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


@dataclass(frozen=True)
class Homeward:
    """A flown return burn: where from, burn vector [m/s], GCRS state after it, its arrival.

    Where the plane was tilted for the latitude of the splash, `reach` are the lowest and the
    highest [rad] that a plane leads to, and `least` is the burn [m/s] in the cheapest plane, from
    the best place of the same revolution and for the same time of flight.
    """

    leaving: LunarOrbit
    burn: np.ndarray
    r: np.ndarray
    v: np.ndarray
    interface: nbody.Arrival
    reach: tuple[float, float] | None = None
    least: float | None = None

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def t(self) -> float:
        """Epoch of the burn [TDB s]."""
        return self.leaving.t

    @property
    def delta_v(self) -> float:
        """Size of the burn [m/s], impulsive."""
        return length(self.burn)

    @property
    def flight_path_angle(self) -> float:
        """Angle [rad] of the inertial velocity above the horizontal at the interface."""
        return flight_path_angle(self.interface.r, self.interface.v)


def flight_path_angle(r: np.ndarray, v: np.ndarray) -> float:
    """Return the angle [rad] of a velocity above the horizontal, geocentric."""
    return float(np.arcsin(unit(r) @ unit(v)))


def target_return(
    orbit: LunarOrbit,
    *,
    time_of_flight: float,
    entry_angle: float,
    plane: ReturnPlane | None = None,
) -> Homeward:
    """Return the cheapest burn of the revolution that follows `orbit`, a circle or an ellipse.

    The arc meets the entry interface after `time_of_flight` [s] at `entry_angle` [rad, below
    zero], in a `plane` if one is given. NoArc if Newton's method finds none.
    """
    problem: NoArc | None = None
    for wait, burn in guess_returns(orbit, time_of_flight, entry_angle, plane):
        try:
            return _best_near(orbit, wait, burn, time_of_flight, entry_angle, plane)
        except NoArc as missed:
            problem = problem or missed
    raise problem or NoArc("no place of the orbit leads home")


def _best_near(
    orbit: LunarOrbit,
    wait: float,
    burn: np.ndarray,
    time_of_flight: float,
    entry_angle: float,
    plane: ReturnPlane | None,
    further: int = WALK,
) -> Homeward:
    """Return the cheapest burn next to a place that is `wait` [s] on, and to a burn [m/s].

    On an ellipse the guess may be some places off: the search then goes on downhill, `further`
    times at the most, and ends where no arc leads home any more.
    """

    apart = _time_apart(orbit, wait)

    def there(places: float) -> LunarOrbit:
        return coast(orbit, wait + places * apart)

    def home(leaving: LunarOrbit, start: np.ndarray, aim: Scaling = ROUGH) -> Homeward:
        return correct_return(leaving, start, time_of_flight, entry_angle, aim, plane)

    middle = home(there(0.0), burn)
    before, after = (home(x, _same_way(middle, x)) for x in (there(-1.0), there(1.0)))
    best = _vertex(before.delta_v, middle.delta_v, after.delta_v)
    if abs(best) == 1.0 and orbit.e > ROUND and further:
        lower = (before if best < 0.0 else after).burn
        beside = wait + best * apart
        with suppress(NoArc):
            return _best_near(orbit, beside, lower, time_of_flight, entry_angle, plane, further - 1)
    slope, bend = (after.burn - before.burn) / 2.0, before.burn - 2.0 * middle.burn + after.burn
    return home(there(best), middle.burn + best * slope + best**2 / 2.0 * bend, SCALING)


def _same_way(home: Homeward, leaving: LunarOrbit) -> np.ndarray:
    """Return the burn [m/s] from a place nearby that leaves the Moon along the same asymptote."""
    here = home.leaving
    back = asymptote(here.r, -(here.v + home.burn), c.MU_MOON)  # seen backwards in time
    outward = -back.v_inf * back.s
    return departures(leaving.r[None], outward[None])[0, 0] - leaving.v


def _time_apart(orbit: LunarOrbit, wait: float) -> float:
    """Return the time [s] between two of the `PLACES`, `wait` [s] on: it is shorter at perilune."""
    if orbit.e < ROUND:
        return orbit.period / PLACES
    r, v = kepler(orbit.r, orbit.v, wait, c.MU_MOON)
    return 2.0 * pi / PLACES * float(r @ r) / length(cross(r, v))


def _vertex(before: float, middle: float, after: float) -> float:
    """Return where, from -1 to 1, the parabola through three values at -1, 0 and 1 is lowest."""
    bend = before - 2.0 * middle + after
    if bend <= 0.0:
        return -1.0 if before < after else 1.0
    return max(-1.0, min(1.0, (before - after) / (2.0 * bend)))


def correct_return(
    leaving: LunarOrbit,
    burn: np.ndarray,
    time_of_flight: float,
    entry_angle: float,
    aim: Scaling,
    plane: ReturnPlane | None = None,
) -> Homeward:
    """Return the least burn [m/s] from the place `leaving`, found from one that is near.

    Its arc meets the interface after `time_of_flight` [s] at `entry_angle` [rad], within the
    tolerances of `aim`; and in a `plane`, if one is given. NoArc if Newton's method finds none.
    """
    if plane is not None:
        aim = aim._replace(tolerance=np.append(aim.tolerance, PLANE_TOLERANCE))
    luna = ephemeris.moon(leaving.t)
    r, v = leaving.r + luna.r, leaving.v + luna.v

    def arrive(burns: Sequence[np.ndarray]) -> Sequence[nbody.Arrival]:
        arcs = [nbody.ArcStart(r, v + x, leaving.t, 2.0 * time_of_flight) for x in burns]
        return nbody.fly_abreast(arcs, "earth", degree=leaving.degree)

    def miss(end: nbody.Arrival) -> np.ndarray:
        off = entry_miss(end, leaving.t + time_of_flight, entry_angle)
        return off if plane is None else np.append(off, plane.off(end.r, end.v))

    burn = solve_abreast(lambda burns: [miss(end) for end in arrive(burns)], burn, aim)
    end = arrive([burn])[0]
    if end.stop != "entry interface":
        raise NoArc("the arc home passes above the entry interface")
    return Homeward(leaving, burn, r, v + burn, end)


def entry_miss(end: nbody.Arrival, wanted: float, entry_angle: float) -> np.ndarray:
    """Return by how much [m of perigee, s of perigee time] an arc misses its entry.

    Told from the conic at the arc's end, so that it is smooth whether the arc reached the
    interface or passed above it. `wanted` is the time [TDB s] at the interface.
    """
    if end.stop == "time":
        raise NoArc("the arc does not come back to Earth in the time it is given")
    here = conic(end.r, end.v, c.MU_EARTH)
    # The interface lies over an ellipsoid: its radius is where the arc crossed it, if it did.
    radius = INTERFACE_RADIUS
    if end.stop == "entry interface":
        radius = length(end.r)
    perigee = perigee_for(entry_angle, radius, here.a)
    e = 1.0 - perigee / here.a
    fall = time_since_periapsis(here.a, e, true_anomaly_at(radius, here.a, e), c.MU_EARTH)
    return np.array([here.periapsis - perigee, end.t - here.since_periapsis - (wanted + fall)])


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
        costs[_through_the_ground(places[:, None, :], leaving)] = np.inf
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


def _through_the_ground(r: np.ndarray, v: np.ndarray) -> np.ndarray:
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
    around = _around(up, luna.v) if plane is None else unit(cross(plane.normal, up))[None]
    return -inward * up + across * around - luna.v


def entry_speed(t: float, time_of_flight: float, entry_angle: float) -> float:
    """Return the inertial speed [m/s] at the interface of the conic home from the Moon's place."""
    distance = length(ephemeris.moon(t).r)
    a, _ = _conic_home(distance, time_of_flight, entry_angle)
    return speed(INTERFACE_RADIUS, a, c.MU_EARTH)


def _around(up: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Return unit vectors (n, 3) all round across `up`, the first along the Moon's velocity."""
    ahead = unit(v - (v @ up) * up)
    angles = np.arange(PLANES) * (2.0 * pi / PLANES)
    return np.outer(np.cos(angles), ahead) + np.outer(np.sin(angles), cross(up, ahead))


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
