"""Low orbits about the Moon, moon-centred, ICRF axes.

A coast is flown under the Moon's field, Earth and Sun (`nbody`). J2 and C22 alone let a circle at
110 km breathe by a kilometre; the terms up to degree 8 move its perilune by some kilometres in a
day. Neglected: the mass concentrations that these leave out, which are of that size again.
"""

from __future__ import annotations

from math import acos, sqrt

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.orbit import Orbit
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.twobody import circular_speed, speed
from mplan.physics.vectors import cross, unit

PIECE = 2.0 * c.DAY  # s, of a coast
SLIGHT_BEND = 100.0  # m2/s2: of an orbit whose apsides lie 0.1 km apart
LOWERINGS = 6  # tries to meet a perilune to a metre; two do


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
        return acos(max(-1.0, min(1.0, float(self.normal @ selenography.lunar_pole(self.t)))))


def node_rate(a: float, e: float, inclination: float) -> float:
    """Return the turn of the node [rad/s] by J2 (Vallado 2013, sec. 9.6)."""
    return -_j2(a, e) * np.cos(inclination)


def _j2(a: float, e: float) -> float:
    """Return 1.5 n J2 (R / p)^2 [rad/s]."""
    p = a * (1.0 - e * e)
    return 1.5 * sqrt(c.MU_MOON / a**3) * c.J2_MOON * (c.R_MOON_FIELD / p) ** 2


def coast(orbit: LunarOrbit, duration: float) -> LunarOrbit:
    """Return the orbit `duration` [s] later: flown, with the Moon's figure, Earth's and Sun's pull.

    In pieces of `PIECE`, at whose ends the Moon's place is looked up anew.
    """
    while duration:
        piece = max(-PIECE, min(PIECE, duration))
        luna = ephemeris.moon(orbit.t)
        end = nbody.fly_arc(orbit.r + luna.r, orbit.v + luna.v, orbit.t, piece, degree=orbit.degree)
        orbit = orbit._replace(t=orbit.t + piece, r=end.lunar_r, v=end.lunar_v)
        duration -= piece
    return orbit


def perilune_ahead(orbit: LunarOrbit) -> LunarOrbit:
    """Return the orbit at the next perilune, flown there from near its apolune."""
    here = coast(orbit, orbit.period / 2.0)
    for _ in range(3):
        # Newton's step to where the distance stops falling; it does not on a circle.
        bend = float(here.v @ here.v) - c.MU_MOON / float(np.linalg.norm(here.r))
        if abs(bend) < SLIGHT_BEND:
            break
        off = float(here.r @ here.v) / bend
        here = coast(here, -max(-here.period / 8.0, min(here.period / 8.0, off)))
    return here


def lowered(orbit: LunarOrbit, perilune: float) -> LunarOrbit:
    """Return the orbit after a burn that leaves level and comes down to `perilune` [m, radius].

    What the Moon's figure does on the way there is in it: some hundred metres.
    """
    here, aim = float(np.linalg.norm(orbit.r)), perilune
    level = cross(orbit.normal, unit(orbit.r))
    for _ in range(LOWERINGS):
        found = orbit._replace(v=speed(here, (here + aim) / 2.0, c.MU_MOON) * level)
        miss = float(np.linalg.norm(perilune_ahead(found).r)) - perilune
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
    radius = float(np.linalg.norm(orbit.r))
    return orbit._replace(v=circular_speed(radius, c.MU_MOON) * ahead)


def until_over(orbit: LunarOrbit, place: np.ndarray, *, lead: float = 0.0) -> float:
    """Return the time [s] until a circular orbit stands `lead` [rad] before being over `place`."""
    rate = sqrt(c.MU_MOON / orbit.a**3)
    return ((orbit.angle_to(place) - lead) % (2.0 * np.pi)) / rate
