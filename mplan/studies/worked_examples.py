"""Examples that publications work out, with the formulas used here."""

from __future__ import annotations

from math import pi

import numpy as np

from mplan.physics import constants as c
from mplan.physics.entry import allen_eggers, heating
from mplan.physics.twobody import Transfer, hohmann

LOW, HIGH = c.R_EARTH + 191.34411e3, c.R_EARTH + 35781.34857e3  # m, the two circles
FOOT = 0.3048  # m, exact by definition
SLUG = 515.379  # kg/m3 a slug per cubic foot


def transfer() -> Transfer:
    """Return the Hohmann transfer of Vallado's example 6-1."""
    return hohmann(LOW, HIGH, c.MU_EARTH)


def iron_sphere() -> float:
    """Return the peak deceleration [m/s2] of NACA Report 1381's iron sphere of 1 ft."""
    air = {"scale_height": 22000.0 * FOOT, "density": 0.0034 * SLUG}
    return allen_eggers.peak_acceleration(30000.0 * FOOT, -pi / 2.0, 1599.0, **air).value


def stagnation_heating() -> float:
    """Return the convective heating [W/m2] of a nose of 1 m at 7.5 km/s in 1.0269e-3 kg/m3."""
    return float(heating.sutton_graves(np.array(1.0269e-3), np.array(7500.0), 1.0))
