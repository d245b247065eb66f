"""Flown missions flown again: a published injection state to the Moon, a published return to Earth.

The numbers are as published, in their own units; what comes out is SI.
"""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import homeward, nbody
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.bodies import earth, selenography
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.twobody import circular_speed
from mplan.physics.vectors import cross, unit

FOOT, NAUTICAL_MILE = 0.3048, 1852.0  # m, exact by definition
FISCHER = (6378166.0, 1.0 / 298.3)  # m and flattening, the ellipsoid of 1960 in use then


class Injection(NamedTuple):
    """A published state: lift-off and time since, height over the ellipsoid, inertial velocity."""

    lift_off: datetime
    elapsed: float  # s
    altitude_ft: float
    speed_ft_s: float
    path_deg: float  # above the horizon
    heading_deg: float
    latitude_deg: float  # geocentric
    longitude_deg: float

    @property
    def t(self) -> float:
        """Epoch [TDB s]."""
        return tdb_from_utc(self.lift_off) + self.elapsed


class Return(NamedTuple):
    """A published return: lift-off, time since of the burn's middle and of the interface [s]."""

    lift_off: datetime
    burn: float
    interface: float
    path_deg: float


def arrive(injection: Injection) -> nbody.Arrival:
    """Return the perilune to which a published state leads, with no correction on the way."""
    r, v = state(injection)
    return nbody.fly_arc(r, v, injection.t, 5.0 * c.DAY, "perilune")


def state(injection: Injection) -> tuple[np.ndarray, np.ndarray]:
    """Return position [m] and velocity [m/s] of a published state, GCRS."""
    latitude, longitude, path, heading = (x * c.DEG for x in _angles(injection))
    flat = np.cos(latitude)
    up = np.array([flat * np.cos(longitude), flat * np.sin(longitude), np.sin(latitude)])
    east = unit(cross(np.array([0.0, 0.0, 1.0]), up))
    level = np.sin(heading) * east + np.cos(heading) * cross(up, east)
    radius = _ground(latitude) + injection.altitude_ft * FOOT
    speed = injection.speed_ft_s * FOOT
    to_sky = earth.earth_fixed_axes(injection.t).T
    return to_sky @ (radius * up), to_sky @ (speed * (np.sin(path) * up + np.cos(path) * level))


def _angles(injection: Injection) -> tuple[float, float, float, float]:
    place = injection.latitude_deg, injection.longitude_deg
    return *place, injection.path_deg, injection.heading_deg


def _ground(latitude: float) -> float:
    """Return the radius [m] of the ellipsoid of 1960 at a geocentric latitude [rad]."""
    a, flattening = FISCHER
    b = a * (1.0 - flattening)
    return a * b / float(np.hypot(b * np.cos(latitude), a * np.sin(latitude)))


def come_home(flown: Return, altitude: float) -> homeward.Homeward:
    """Return the cheapest return in the flown time, from a circle at `altitude` [m].

    The circle lies in the Moon's equator and is flown against its turn, as those of the first
    flights nearly were.
    """
    t = tdb_from_utc(flown.lift_off) + flown.burn
    radius, normal = c.R_MOON + altitude, -selenography.lunar_pole(t)
    out = unit(cross(normal, np.array([1.0, 0.0, 0.0])))
    ahead = circular_speed(radius, c.MU_MOON) * cross(normal, out)
    orbit = LunarOrbit(t - c.HOUR, radius * out, ahead)  # the best place comes within two hours
    return homeward.target_return(
        orbit,
        time_of_flight=flown.interface - flown.burn,
        entry_angle=flown.path_deg * c.DEG,
    )
