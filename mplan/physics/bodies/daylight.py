"""The light at a place on Earth: how high the Sun stands, and what the sundial says.

Over a level horizon at sea, without refraction: it lifts a low Sun by half a degree.
"""

from __future__ import annotations

from math import atan2, cos, pi, sin
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris, sight
from mplan.physics.bodies.earth import earth_fixed_axes

TWILIGHT = -6.0 * c.DEG  # rad, the Sun's centre at the end of civil twilight


class Light(NamedTuple):
    """The Sun's elevation [rad] and the local apparent solar time [s after midnight]."""

    sun: float
    solar_time: float

    @property
    def word(self) -> str:
        """Daylight, twilight (the Sun less than 6 deg below the horizon) or night."""
        return word(self.sun)


def word(sun: float) -> str:
    """Return what the light is called with the Sun at an elevation [rad]."""
    if sun >= 0.0:
        return "daylight"
    return "twilight" if sun > TWILIGHT else "night"


def light_at(latitude: float, longitude: float, t: float) -> Light:
    """Return the light at a geodetic latitude and east longitude [rad] at `t` [TDB s].

    Solar time is the Sun's hour angle past midnight: the sundial's, up to a quarter of an hour
    from the mean one.
    """
    axes, flat = earth_fixed_axes(t), cos(latitude)
    up = np.array([flat * cos(longitude), flat * sin(longitude), sin(latitude)])
    elevation = sight.sun_elevation_on_earth(axes.T @ up * c.R_EARTH, t)
    x, y, _ = axes @ ephemeris.sun(t).r
    hour = (longitude - atan2(y, x) + pi) % (2.0 * pi)
    return Light(elevation, hour / (2.0 * pi) * c.DAY)
