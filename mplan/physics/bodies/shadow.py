"""The shadows of Earth and Moon: how much of the Sun's disc is seen from a place.

Discs on the sky at one time (Montenbruck and Gill, Satellite Orbits, 2000, sec. 3.4.2): both bodies
are spheres without air, so that Earth's umbra is some 2 % too narrow, its refracted light left out.
The Sun's light takes 8 min, in which it moves 20 arcsec: a low lunar orbit turns by that in 0.1 s.
"""

from __future__ import annotations

from math import acos, asin, cos, pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris

R_SUN = 6.957e8  # m, nominal (IAU 2015 resolution B3)


class Discs(NamedTuple):
    """Angles [rad] at a place (n,): apparent radii of Sun and body, and between their centres."""

    sun: np.ndarray
    body: np.ndarray
    apart: np.ndarray

    @property
    def clear(self) -> np.ndarray:
        """How far the limbs are apart [rad]; below zero the body covers a part of the Sun."""
        return self.apart - self.sun - self.body

    @property
    def uncovered(self) -> np.ndarray:
        """How far the Sun's far limb is from being covered [rad]; below zero all of it is."""
        return self.apart + self.sun - self.body

    @property
    def seen(self) -> np.ndarray:
        """The share of the Sun's disc that is seen (n,)."""
        a, b, d = self.sun, self.body, np.maximum(self.apart, 1e-12)
        x = np.clip((d * d + a * a - b * b) / (2.0 * d), -a, a)
        y = np.sqrt(np.maximum(a * a - x * x, 0.0))
        rest = np.clip((d - x) / b, -1.0, 1.0)
        covered = a * a * np.arccos(np.clip(x / a, -1.0, 1.0)) + b * b * np.arccos(rest) - d * y
        part = 1.0 - covered / (pi * a * a)
        inside = np.where(b >= a, 0.0, 1.0 - (b / a) ** 2)  # one disc wholly before the other
        return np.where(d >= a + b, 1.0, np.where(d <= np.abs(b - a), inside, part))


def behind_earth(r: np.ndarray, t: np.ndarray) -> Discs:
    """Return the discs of Sun and Earth from GCRS places `r` (n, 3) [m] at `t` (n,) [TDB s]."""
    return _discs(r, ephemeris.sun(t).r, np.zeros_like(r), c.R_EARTH)


def behind_moon(r: np.ndarray, t: np.ndarray) -> Discs:
    """Return the discs of Sun and Moon from GCRS places `r` (n, 3) [m] at `t` (n,) [TDB s]."""
    return _discs(r, ephemeris.sun(t).r, ephemeris.moon(t).r, c.R_MOON)


def sunlight(r: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Return the share of the Sun's disc (n,) that Earth and Moon leave at GCRS `r` (n, 3) [m].

    At times `t` (n,) [TDB s]. A place on the Moon's ground sees it over a level horizon.
    """
    return np.minimum(behind_earth(r, t).seen, behind_moon(r, t).seen)


def strength(r: np.ndarray, t: float | np.ndarray) -> np.ndarray:
    """Return how strong full sunlight is at GCRS `r` (..., 3) [m] at `t` [TDB s], 1 at 1 au."""
    away = ephemeris.sun(t).r - r
    return c.AU**2 / np.sum(away * away, axis=-1)


def share_in_sun(normal: np.ndarray, radius: float, body: float, to_sun: np.ndarray) -> float:
    """Return the share of a circle that the Sun's centre is seen from: the shadow a cylinder.

    The circle has a `radius` [m] about a `body` of a radius [m] and a unit `normal`; `to_sun` (3,)
    points there, in the same axes. Of an orbit whose plane the Sun leaves far enough it is 1.
    """
    sine = float(normal @ to_sun) / sqrt(float(to_sun @ to_sun))
    flat = cos(asin(max(-1.0, min(1.0, sine))))
    across = sqrt(max(0.0, 1.0 - (body / radius) ** 2))
    return 1.0 if across >= flat else 1.0 - acos(across / flat) / pi


def _discs(r: np.ndarray, sun: np.ndarray, body: np.ndarray, radius: float) -> Discs:
    to_sun, to_body = sun - r, body - r
    far, near = np.linalg.norm(to_sun, axis=-1), np.linalg.norm(to_body, axis=-1)
    across = np.linalg.norm(np.cross(to_sun, to_body), axis=-1)
    apart = np.arctan2(across, np.sum(to_sun * to_body, axis=-1))
    return Discs(np.arcsin(R_SUN / far), np.arcsin(np.clip(radius / near, 0.0, 1.0)), apart)
