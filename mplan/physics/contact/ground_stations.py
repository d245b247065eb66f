"""Ground stations on the turning Earth: how high a craft stands over their horizon, how far off.

Straight lines at one time: the light's own travel, 1.3 s from the Moon, turns Earth by 0.005 deg.
Refraction, which lifts what stands at 5 deg by 0.16 deg, is left out: contact is told late rather
than early (Explanatory Supplement to the Astronomical Almanac, 1992, sec. 3.28, from memory).
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import erfa
import numpy as np

from mplan.physics.bodies import earth
from mplan.physics.constants import DAY
from mplan.physics.vectors import frozen


class GroundStation(NamedTuple):
    """A station: geodetic `latitude`, east `longitude` [rad], `altitude` [m], WGS 84.

    It sees what stands at `lowest` [rad] or more over its level horizon.
    """

    name: str
    latitude: float
    longitude: float
    altitude: float = 0.0
    lowest: float = 0.0


def places(station: GroundStation, t: np.ndarray) -> np.ndarray:
    """Return where a station is, GCRS [m], at times (n,) [TDB s], shape (n, 3)."""
    fixed = earth.earth_fixed(station.longitude, station.latitude, station.altitude)
    return np.einsum("nji,j->ni", _fixed_axes(t), fixed)


def elevations(station: GroundStation, r: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Return the elevation [rad] of places `r` (n, 3) GCRS [m] over its horizon, shape (n,)."""
    flat = np.cos(station.latitude)
    up = np.array(
        [
            flat * np.cos(station.longitude),
            flat * np.sin(station.longitude),
            np.sin(station.latitude),
        ]
    )
    towards = r - places(station, t)
    upright = np.einsum("nji,j->ni", _fixed_axes(t), up)
    sine = np.sum(towards * upright, axis=1) / np.linalg.norm(towards, axis=1)
    return np.arcsin(np.clip(sine, -1.0, 1.0))  # straight overhead rounding leads beyond


def _fixed_axes(t: np.ndarray) -> np.ndarray:
    """Return the matrices (n, 3, 3) from GCRS to Earth-fixed axes.

    Sidereal time runs evenly from the middle of the times, and the pole is the nearest noon's or
    midnight's of each: over ten days both keep to 0.00001 deg.
    """
    return _axes_at(np.asarray(t, dtype=float).tobytes())


@lru_cache(maxsize=8)  # each station asks for them, some twice
def _axes_at(times: bytes) -> np.ndarray:
    t = np.frombuffer(times)
    middle = float((t[0] + t[-1]) / 2.0)
    angles = earth.sidereal_angle(middle) + (t - middle) * earth.SIDEREAL_RATE
    halves, which = np.unique(np.round(t / DAY), return_inverse=True)
    equators = np.array([earth.true_equator_of_day(half * DAY) for half in halves.tolist()])
    return frozen(np.asarray(erfa.rz(angles, equators[which])))
