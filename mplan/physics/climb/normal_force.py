"""Normal force of a slender vehicle at a small angle of attack, and where it acts.

Slender-body theory: a body of revolution in a flow at angle of attack `a` feels, along its axis,
dN = 2 q a dA, wherever its cross-section A grows (Munk, NACA Report 184, 1924). A nose, a
shoulder and a boattail so give 2 per radian on the area they add or take away; a cylinder gives
nothing. Fins after Barrowman, The Practical Calculation of the Aerodynamic Characteristics of
Slender Finned Vehicles, 1967 (NASA-TM-2001-209983). Formulas from memory. Neglected: viscous
crossflow (it grows with a squared), separated flow behind boattails, the Mach number, and what
neighbouring bodies do to each other.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import pi, sqrt
from typing import NamedTuple


class Surface(NamedTuple):
    """What gives a normal force: `slope` [m2/rad], over the dynamic pressure, at `station` [m].

    Stations are counted from the vehicle's foot up; the air comes from above.
    """

    slope: float
    station: float


def frustum(upper: float, lower: float, foot: float, length: float) -> Surface:
    """Return the force of a cone's frustum between two diameters [m], its foot at a station [m].

    Barrowman's centre of pressure, from the upstream end: L/3 (1 + (1 - k)/(1 - k2)), with k the
    upstream over the downstream diameter. A step is a frustum of no length.

    >>> frustum(0.0, 2.0, foot=0.0, length=3.0).station  # of a cone, two thirds from its tip
    1.0
    """
    slope = 2.0 * pi / 4.0 * (lower**2 - upper**2)
    both = upper + lower
    behind = length / 3.0 * (1.0 + lower / both) if both else 0.0
    return Surface(slope, foot + length - behind)


def fins(count: int, area: float, span: float, diameter: float) -> float:
    """Return the slope [m2/rad] of `count` equal fins, in pitch or yaw, the body's effect apart.

    `area` [m2] and `span` [m] of one, exposed, not swept: the mean chord is area over span.
    Barrowman: 4 n (s/d)2 / (1 + sqrt(1 + (2 l/(root + tip))2)) on the body's cross-section.
    """
    chords = 2.0 * area / span
    on_body = 4.0 * count * (span / diameter) ** 2 / (1.0 + sqrt(1.0 + (2.0 * span / chords) ** 2))
    return on_body * pi / 4.0 * diameter**2


def beside_body(span: float, diameter: float) -> float:
    """Return Barrowman's factor on the force of fins for the body they stand on: 1 + r/(s + r)."""
    return 1.0 + diameter / 2.0 / (span + diameter / 2.0)


def moment(surfaces: Iterable[Surface], about: float) -> float:
    """Return the moment [m3/rad], over the dynamic pressure, about a station [m].

    Positive turns the nose away from the air that comes: it is then unstable.
    """
    return sum(each.slope * (each.station - about) for each in surfaces)


def centre_of_pressure(surfaces: Iterable[Surface]) -> float | None:
    """Return the station [m] at which the whole normal force acts; None where there is none."""
    listed = tuple(surfaces)
    total = sum(each.slope for each in listed)
    return moment(listed, 0.0) / total if total else None
