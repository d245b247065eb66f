"""Through the air to splashdown: an estimate until the entry is flown.

Peak acceleration, heating and the parachutes are left blank rather than guessed. An entry
outside its corridor kills: this is a planning study, and entry design belongs to licensed
practice with its own analysis.
"""

from __future__ import annotations

from math import asin, atan2, cos, pi, sin
from typing import NamedTuple

import numpy as np

from mplan.physics import earth
from mplan.physics.constants import R_EARTH
from mplan.physics.nbody import Arrival
from mplan.physics.vectors import cross, unit

DURATION = 15.0 * 60.0  # s, interface to splash (common practice, no source)
DOWNRANGE = 2.4e6  # m over the ground (common practice, no source; a lifting entry can vary it)
NORTH = np.array([0.0, 0.0, 1.0])
ESTIMATE = "fixed time and downrange from the interface"


class Splash(NamedTuple):
    """Where [rad, geodetic, east positive] and when [TDB s] the crew comes down."""

    t: float
    latitude: float
    longitude: float


def splash(interface: Arrival) -> Splash:
    """Return the estimated splash: straight on from the interface, over the turning Earth."""
    latitude, longitude, _ = earth.geodetic(interface.r, interface.t)
    axes = earth.fixed_axes(interface.t)
    drift = earth.SIDEREAL_RATE * cross(NORTH, axes @ interface.r)
    over = axes @ interface.v - drift  # against the ground
    up = unit(axes @ interface.r)
    east = unit(cross(NORTH, up))
    heading = atan2(float(over @ east), float(over @ cross(up, east)))
    angle = DOWNRANGE / R_EARTH
    there = asin(sin(latitude) * cos(angle) + cos(latitude) * sin(angle) * cos(heading))
    turn = atan2(sin(heading) * sin(angle) * cos(latitude), cos(angle) - sin(latitude) * sin(there))
    east_of = (longitude + turn + pi) % (2.0 * pi) - pi
    return Splash(interface.t + DURATION, float(there), float(east_of))
