"""Where the radiation belts are: shells of a dipole that stands for Earth's field.

A first-order note for planners, no dose model: the belts' own strength changes from week to week,
the outer one's by a hundred times.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import earth

# The dipole's northern pole, geocentric: 80.65 N, 72.68 W (IGRF-13, epoch 2020, from memory; it
# moves by 0.05 deg a year).
POLE_LATITUDE, POLE_LONGITUDE = radians(80.65), radians(-72.68)
# L-shells in Earth radii, the slot between them counted with the outer one; the inner one begins
# where air no longer thins it out (M. Walt, Introduction to Geomagnetically Trapped Radiation,
# 1994, from memory).
INNER, OUTER = (1.2, 2.5), (2.5, 7.0)
LOWEST = 1000e3  # m of altitude, below which particles are lost to the air (common practice)


def shells(r: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Return the L-shell (n,) of GCRS places `r` (n, 3) [m] at `t` (n,) [TDB s].

    That of a centred dipole: r / R_E / cos2(magnetic latitude); the field's tilt and shift leave
    0.2 of it near Earth, the solar wind more beyond 6.
    """
    axis = np.array(
        [
            cos(POLE_LATITUDE) * cos(POLE_LONGITUDE),
            cos(POLE_LATITUDE) * sin(POLE_LONGITUDE),
            sin(POLE_LATITUDE),
        ]
    )
    poles = np.array([earth.earth_fixed_axes(x).T @ axis for x in t.tolist()])
    away = np.linalg.norm(r, axis=1)
    sine = np.sum(r * poles, axis=1) / away
    return away / c.R_EARTH / np.maximum(1.0 - sine * sine, 1e-6)


def belts(r: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Return for each place (n,) 1 in the inner belt, 2 in the outer one, 0 outside of both."""
    near = np.linalg.norm(r, axis=1) < 10.0 * c.R_EARTH
    found = np.zeros(len(t), dtype=int)
    if not near.any():
        return found
    high = np.linalg.norm(r[near], axis=1) > c.R_EARTH + LOWEST
    shell = shells(r[near], t[near])
    inner = high & (shell >= INNER[0]) & (shell < INNER[1])
    outer = high & (shell >= OUTER[0]) & (shell <= OUTER[1])
    found[near] = np.where(inner, 1, np.where(outer, 2, 0))
    return found
