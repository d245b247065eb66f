"""Orbits about the Moon, moon-centred, ICRF axes.

A coast is flown under the Moon's field, Earth and Sun (`nbody`). J2 and C22 alone let a circle at
110 km breathe by a kilometre; the terms up to degree 8 move its perilune by some kilometres in a
day. Neglected: the mass concentrations that these leave out, which are of that size again.
Far out Earth decides: an ellipse with its apolune some 10,000 km up has its perilune moved by tens
of kilometres in a day, so that what is told of an orbit as an ellipse holds at its moment alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import acos, asin, cos, sin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.orbit import Orbit
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.twobody import circular_speed, conic, speed
from mplan.physics.vectors import Vector, cross, inner, length, turned, unit

PIECE = 2.0 * c.DAY  # s, of a coast
INSTANT = 1e-6  # s, 2 mm of the way
SLIGHT_BEND = 100.0  # m2/s2: of an orbit whose apsides lie 0.1 km apart
LOWERINGS = 6  # tries to meet a perilune to a metre; two do
ROUND = 0.03  # eccentricity, below which an orbit is taken for a circle: 55 km either way, low down
LEAST_E, LEAST_SINE = 1e-4, 1e-3  # of what has an argument of perilune
MET = 0.05  # s from an apse, 80 m of the way: its height is met to 0.1 mm
SETTLED, LOOKS = 0.01, 12  # s from perilune, and looks at how far it still is


class LunarOrbit(Orbit):
    """An orbit about the Moon; it goes on under the Moon's field up to `degree`."""

    __slots__ = ()

    @property
    def mu(self) -> float:
        """The Moon's gravitational parameter [m3/s2]."""
        return c.MU_MOON

    @property
    def inclination(self) -> float:
        """Angle [rad] of the orbit's normal to the Moon's pole."""
        return acos(max(-1.0, min(1.0, inner(self.normal, selenography.lunar_pole(self.t)))))


def radius_by_shadow(orbit: LunarOrbit) -> float:
    """Return the radius [m] of the circle that is as long in the Moon's shadow at the most.

    The longest shadow of an ellipse lies across its apolune, where the ship is slow: of the mean
    anomaly asin(R / b) + e R / b on either side (Kepler's equation, the shadow a cylinder).
    """
    a, e = orbit.a, orbit.e
    if e < ROUND:
        return a
    across = min(1.0, c.R_MOON / (a * sqrt(1.0 - e * e)))
    return c.R_MOON / sin(min(np.pi / 2.0, asin(across) + e * across))


def mean_radius(orbit: LunarOrbit) -> float:
    """Return the radius [m] of the circle with the mean of 1/r3 along an orbit.

    On an ellipse about a point the mean over time is 1 / (a3 (1 - e2)3/2), half its minor axis
    cubed, and a gravity gradient goes by it (Murray and Dermott 1999, sec. 2.4; from memory).
    """
    return orbit.a * sqrt(1.0 - orbit.e**2)


class LunarApsides(NamedTuple):
    """How an orbit lies, to the Moon's equator of its time: radii [m] and angles [rad].

    `argument` is that of perilune, from 0 to a turn; None on a circle or over the equator, where
    it is of no account.
    """

    perilune: float
    apolune: float
    inclination: float
    argument: float | None


def lunar_apsides(orbit: LunarOrbit) -> LunarApsides:
    """Return the apsides of the ellipse that an orbit would follow about a point."""
    a, e, inclination = orbit.a, orbit.e, orbit.inclination
    told = e > LEAST_E and sin(inclination) > LEAST_SINE
    argument = argument_of(orbit, _towards_perilune(orbit)) if told else None
    return LunarApsides(a * (1.0 - e), a * (1.0 + e), inclination, argument)


def argument_of(orbit: LunarOrbit, place: np.ndarray) -> float:
    """Return the argument of latitude [rad, 0..2 pi] of a `place` [any length] in the plane."""
    node = ascending_node(orbit)
    across = cross(orbit.normal, node)
    return float(np.arctan2(place @ across, place @ node) % (2.0 * np.pi))


def ascending_node(orbit: LunarOrbit) -> np.ndarray:
    """Return the unit vector to where an orbit crosses the Moon's equator northwards."""
    return unit(cross(selenography.lunar_pole(orbit.t), orbit.normal))


def place_at(orbit: LunarOrbit, argument: float) -> np.ndarray:
    """Return the unit vector to an argument of latitude [rad]."""
    return turned(ascending_node(orbit), orbit.normal, argument)


def _towards_perilune(orbit: LunarOrbit) -> np.ndarray:
    return cross(orbit.v, cross(orbit.r, orbit.v)) / c.MU_MOON - unit(orbit.r)


class Places(NamedTuple):
    """Places of a revolution: when they come [s], where [m] and how fast [m/s], (n,) and (n, 3)."""

    waits: np.ndarray
    r: np.ndarray
    v: np.ndarray


def places_ahead(orbit: LunarOrbit, count: int) -> Places:
    """Return `count` places of the revolution ahead, the last being here, as flown about a point.

    On a circle, or what is taken for one, at an even pace; on an ellipse at even steps of the true
    anomaly (Vallado 2013, ch. 2).
    """
    steps = np.arange(1, count + 1)
    angles = steps * (2.0 * np.pi / count)
    if orbit.e < ROUND:
        cosines, sines = np.cos(angles)[:, None], np.sin(angles)[:, None]
        return Places(
            orbit.period * steps / count,
            cosines * orbit.r + sines * cross(orbit.normal, orbit.r),
            cosines * orbit.v + sines * cross(orbit.normal, orbit.v),
        )
    e, p = orbit.e, orbit.a * (1.0 - orbit.e**2)
    towards = unit(_towards_perilune(orbit))
    across = cross(orbit.normal, towards)
    first = float(np.arctan2(orbit.r @ across, orbit.r @ towards))
    anomaly = first + angles
    cosines, sines = np.cos(anomaly)[:, None], np.sin(anomaly)[:, None]
    return Places(
        (_mean(anomaly, e) - _mean(np.array(first), e)) * orbit.period / (2.0 * np.pi),
        p / (1.0 + e * cosines) * (cosines * towards + sines * across),
        sqrt(c.MU_MOON / p) * (-sines * towards + (e + cosines) * across),
    )


def _mean(anomaly: np.ndarray, e: float) -> np.ndarray:
    """Return the mean anomaly [rad] of a true one, which may be more than a turn."""
    b = e / (1.0 + sqrt(1.0 - e * e))
    eccentric = anomaly - 2.0 * np.arctan2(b * np.sin(anomaly), 1.0 + b * np.cos(anomaly))
    return eccentric - e * np.sin(eccentric)


def node_rate(a: float, e: float, inclination: float) -> float:
    """Return the turn of the node [rad/s] by J2 (Vallado 2013, sec. 9.6)."""
    return -_j2(a, e) * cos(inclination)


def _j2(a: float, e: float) -> float:
    """Return 1.5 n J2 (R / p)^2 [rad/s]."""
    p = a * (1.0 - e * e)
    return 1.5 * sqrt(c.MU_MOON / a**3) * c.J2_MOON * (c.R_MOON_FIELD / p) ** 2


def coast(orbit: LunarOrbit, duration: float) -> LunarOrbit:
    """Return the orbit `duration` [s] later: flown, with the Moon's figure, Earth's and Sun's pull.

    In pieces of `PIECE`, at whose ends the Moon's place is looked up anew; what is shorter than an
    `INSTANT` is rounding.
    """
    return coast_abreast([orbit], duration)[0]


def coast_abreast(orbits: Sequence[LunarOrbit], duration: float) -> list[LunarOrbit]:
    """Return what `coast` does of several orbits in one field, flown side by side."""
    found = list(orbits)
    while abs(duration) > INSTANT:
        piece = max(-PIECE, min(PIECE, duration))
        arcs = []
        for x in found:
            luna = ephemeris.moon(x.t)
            arcs.append(nbody.ArcStart(x.r + luna.r, x.v + luna.v, x.t, piece))
        ends = nbody.fly_abreast(arcs, degree=found[0].degree)
        found = [
            LunarOrbit(x.t + piece, end.lunar_r, end.lunar_v, x.degree)
            for x, end in zip(found, ends, strict=True)
        ]
        duration -= piece
    return found


def perilune_ahead(orbit: LunarOrbit) -> LunarOrbit:
    """Return the orbit at the next perilune, flown there from near its apolune."""
    here = coast(orbit, orbit.period / 2.0)
    for _ in range(3):
        # Newton's step to where the distance stops falling; it does not on a circle.
        bend = inner(here.v, here.v) - c.MU_MOON / length(here.r)
        if abs(bend) < SLIGHT_BEND:
            break
        off = inner(here.r, here.v) / bend
        if abs(off) < MET:
            break
        here = coast(here, -max(-here.period / 8.0, min(here.period / 8.0, off)))
    return here


def to_perilune(orbit: LunarOrbit) -> float:
    """Return the time [s] to the next perilune of an ellipse, flown there.

    A conic tells it to some minutes where the apolune is far out. ArithmeticError where the orbit
    has been drawn so far from an ellipse that none is found.
    """
    wait = -_since(orbit) % orbit.period
    for _ in range(LOOKS):
        late = _since(coast(orbit, wait))
        if abs(late) < SETTLED:
            return wait
        wait -= late
    raise ArithmeticError("no perilune of the lunar orbit was found")


def _since(orbit: LunarOrbit) -> float:
    """Return the time [s] since the nearest perilune, below zero before it; ellipses alone."""
    if orbit.a < 0.0:
        raise ArithmeticError("the orbit about the Moon is no ellipse any more")
    return conic(orbit.r, orbit.v, c.MU_MOON).since_periapsis


def lowered(orbit: LunarOrbit, perilune: float) -> LunarOrbit:
    """Return the orbit after a burn that leaves level and comes down to `perilune` [m, radius].

    What the Moon's figure does on the way there is in it: some hundred metres.
    """
    here, aim = length(orbit.r), perilune
    level = cross(orbit.normal, unit(orbit.r))
    for _ in range(LOWERINGS):
        found = orbit._replace(v=speed(here, (here + aim) / 2.0, c.MU_MOON) * level)
        miss = length(perilune_ahead(found).r) - perilune
        if abs(miss) < 1.0:
            break
        aim -= miss
    return found


def with_speed(orbit: LunarOrbit, speed: float) -> LunarOrbit:
    """Return the orbit after a burn along the velocity that leaves `speed` [m/s]."""
    return orbit._replace(v=speed * unit(orbit.v))


def circular(orbit: LunarOrbit) -> LunarOrbit:
    """Return the circle through `orbit.r` in the same plane and sense."""
    ahead = cross(orbit.normal, unit(orbit.r))
    radius = length(orbit.r)
    return orbit._replace(v=circular_speed(radius, c.MU_MOON) * ahead)


def until_over(orbit: LunarOrbit, place: np.ndarray, *, lead: float = 0.0) -> float:
    """Return the time [s] until a circular orbit stands `lead` [rad] before being over `place`."""
    rate = sqrt(c.MU_MOON / orbit.a**3)
    return ((orbit.angle_to(place) - lead) % (2.0 * np.pi)) / rate


class OrbitKey(NamedTuple):
    """An orbit as plain numbers, by which what starts on it is remembered."""

    t: float
    r: Vector
    v: Vector
    degree: Degree

    @property
    def orbit(self) -> LunarOrbit:
        """The orbit itself."""
        return LunarOrbit(self.t, np.array(self.r), np.array(self.v), self.degree)


def key_of(orbit: LunarOrbit) -> OrbitKey:
    """Return the values of an orbit, to the last digit."""
    (x, y, z), (vx, vy, vz) = orbit.r.tolist(), orbit.v.tolist()
    return OrbitKey(orbit.t, (x, y, z), (vx, vy, vz), orbit.degree)
