"""Propellant brought to the tank's outlet by a small push, before a pumped engine is lit.

Without weight the liquid lies where surface tension leaves it. A push moves it to the outlet if
it outweighs surface tension (Bond number) and lasts until the liquid has fallen through the tank.
"""

from __future__ import annotations

from math import sqrt

from mplan.physics.constants import G0

# Common practice, no source:
REORIENTS = 10.0  # Bond number from which liquid runs to the tank's end
FALLS = 1.5  # tank lengths that the liquid falls until it lies still
USUAL = (1e-4 * G0, 1e-2 * G0)  # m/s2, accelerations that planners use


def bond_number(density: float, acceleration: float, radius: float, tension: float) -> float:
    """Return weight over surface tension: density [kg/m3], radius [m], tension [N/m]."""
    return density * acceleration * radius**2 / tension


def time_to_settle(acceleration: float, length: float) -> float:
    """Return how long [s] a push [m/s2] lasts to settle a tank of `length` [m].

    Free fall through `FALLS` lengths: one to arrive, the rest for the splash to die down.
    """
    return sqrt(2.0 * FALLS * length / acceleration)
