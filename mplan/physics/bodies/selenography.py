"""The turning Moon: places on it, in the axes of the ICRF.

Pole and prime meridian from the IAU Working Group on Cartographic Coordinates and Rotational
Elements, 2009 report (Archinal et al. 2011, Celest. Mech. Dyn. Astr. 109, 101-135, table 2),
a short series. It gives the mean-Earth axes to about 150 m on the surface.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, radians, sin
from operator import mul

import numpy as np

from mplan.physics.constants import DAY, R_MOON

_ARGUMENTS = (  # degrees, degrees per day: E1 to E13
    (125.045, -0.0529921),
    (250.089, -0.1059842),
    (260.008, 13.0120009),
    (176.625, 13.3407154),
    (357.529, 0.9856003),
    (311.589, 26.4057084),
    (134.963, 13.0649930),
    (276.617, 0.3287146),
    (34.226, 1.7484877),
    (15.134, -0.1589763),
    (119.743, 0.0036096),
    (239.961, 0.1643573),
    (25.053, 12.9590088),
)
_POLE_RA = (-3.8787, -0.1204, 0.0700, -0.0172, 0, 0.0072, 0, 0, 0, -0.0052, 0, 0, 0.0043)
_POLE_DEC = (1.5419, 0.0239, -0.0278, 0.0068, 0, -0.0029, 0.0009, 0, 0, 0.0008, 0, 0, -0.0009)
_MERIDIAN = (
    *(3.5610, 0.1208, -0.0642, 0.0158, 0.0252, -0.0066, -0.0047),
    *(-0.0046, 0.0028, 0.0052, 0.0040, 0.0019, -0.0044),
)


@lru_cache(maxsize=256)  # the shots of one targeting ask for one date again and again
def rotation(t: float) -> tuple[float, float, float]:
    """Return the right ascension and declination of the pole and the angle W, all [rad]."""
    d = t / DAY
    century = d / 36525.0
    angles = [radians(at_epoch + rate * d) for at_epoch, rate in _ARGUMENTS]
    sines = [sin(x) for x in angles]
    cosines = [cos(x) for x in angles]
    ra = 269.9949 + 0.0031 * century + sum(map(mul, _POLE_RA, sines))
    dec = 66.5392 + 0.0130 * century + sum(map(mul, _POLE_DEC, cosines))
    w = 38.3213 + 13.17635815 * d - 1.4e-12 * d**2 + sum(map(mul, _MERIDIAN, sines))
    return radians(ra), radians(dec), radians(w % 360.0)


def moon_fixed_axes(t: float) -> np.ndarray:
    """Return the (3, 3) matrix from ICRF axes to Moon-fixed mean-Earth axes at `t` [TDB s]."""
    ra, dec, w = rotation(t)
    return _turn_z(w) @ _turn_x(np.pi / 2 - dec) @ _turn_z(ra + np.pi / 2)


def lunar_pole(t: float) -> np.ndarray:
    """Return the unit vector of the Moon's north pole, ICRF axes, shape (3,)."""
    ra, dec, _ = rotation(t)
    return np.array([cos(dec) * cos(ra), cos(dec) * sin(ra), sin(dec)])


def site_position(
    latitude: float, longitude: float, t: float, elevation: float = 0.0
) -> np.ndarray:
    """Return a place on the Moon, from its centre [m], ICRF axes.

    `latitude` and east `longitude` in [rad], `elevation` [m] above the 1737.4 km sphere.
    """
    # The rows of `moon_fixed_axes` turned back one by one: asked for each arc that is tried.
    ra, dec, w = rotation(t)
    flat, up = cos(latitude), sin(latitude)
    ahead, across = flat * cos(longitude + w), flat * sin(longitude + w)  # from the node
    out, pole = across * sin(dec) - up * cos(dec), across * cos(dec) + up * sin(dec)
    x, y = -ahead * sin(ra) - out * cos(ra), ahead * cos(ra) - out * sin(ra)
    return np.array([x, y, pole]) * (R_MOON + elevation)


def _turn_z(angle: float) -> np.ndarray:
    c, s = cos(angle), sin(angle)
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def _turn_x(angle: float) -> np.ndarray:
    c, s = cos(angle), sin(angle)
    return np.array([[1.0, 0.0, 0.0], [0.0, c, s], [0.0, -s, c]])
