"""Tanks as solids: what a cylinder with domes, a sphere or two tanks in one shell hold.

Domes are half spheroids, so that a depth of the radius makes a hemisphere. Walls, insulation and
what stands inside a tank take no room here: some tenths of a per cent of a large tank's volume.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, pi, sin
from typing import Literal

from mplan.physics.roots import root

Bulge = Literal["up", "down"]


@dataclass(frozen=True)
class Vessel:
    """One tank, lengths in [m]: inside `diameter`, depth of a `dome`, length of its `cylinder`.

    `floor` and `ceiling` say which way its ends bulge: down and up, unless it shares one.
    """

    diameter: float
    dome: float
    cylinder: float
    floor: Bulge = "down"
    ceiling: Bulge = "up"

    @property
    def length(self) -> float:
        """From the lowest point of its shell to the highest [m], ends that bulge in apart."""
        return self.cylinder + self.dome * ((self.floor == "down") + (self.ceiling == "up"))

    @property
    def volume(self) -> float:
        """What it holds, to the brim [m3]."""
        ends = (1 if self.floor == "down" else -1) + (1 if self.ceiling == "up" else -1)
        return area(self.diameter) * self.cylinder + ends * dome_volume(self.diameter, self.dome)


def area(diameter: float) -> float:
    """Return the area [m2] of a circle of `diameter` [m]."""
    return pi / 4.0 * diameter**2


def dome_volume(diameter: float, depth: float) -> float:
    """Return the volume [m3] of half a spheroid: two thirds of the cylinder round it."""
    return 2.0 / 3.0 * area(diameter) * depth


def room(load: float, density: float, ullage: float) -> float:
    """Return the volume [m3] for a `load` [kg] of `density` [kg/m3], a share `ullage` left free."""
    return load / density / (1.0 - ullage)


def cylinder(volume: float, diameter: float, dome: float) -> Vessel:
    """Return the tank of `diameter` [m] with two domes of depth `dome` [m] for a volume [m3].

    Where the domes alone hold more than that, they are the tank.
    """
    between = (volume - 2.0 * dome_volume(diameter, dome)) / area(diameter)
    return Vessel(diameter, dome, max(0.0, between))


def sphere(volume: float) -> Vessel:
    """Return the spherical tank for a volume [m3]."""
    diameter = (6.0 * volume / pi) ** (1.0 / 3.0)
    return Vessel(diameter, diameter / 2.0, 0.0)


def common_bulkhead(
    lower: float, upper: float, diameter: float, dome: float, bulge: Bulge
) -> tuple[Vessel, Vessel]:
    """Return lower and upper tank of one shell for two volumes [m3], a dome parting them.

    The bulkhead has the shape of the outer domes and bulges `up` or `down`: the tank that it
    bulges out of is a cylinder with two domes, the other as large as its stretch of cylinder.
    """
    whole = cylinder(lower if bulge == "up" else upper, diameter, dome)
    other = (upper if bulge == "up" else lower) / area(diameter)
    hollow = Vessel(diameter, dome, other, floor=bulge, ceiling=bulge)
    return (whole, hollow) if bulge == "up" else (hollow, whole)


def around(diameters: Sequence[float]) -> float:
    """Return the diameter [m] of the circle round circles that stand in a ring.

    They are taken in this order, each touching the wall and its neighbours. A ring of n equal
    ones has the closed form d (1 + 1 / sin(pi / n)); others are sought.
    """
    if len(diameters) == 1:
        return diameters[0]
    low = max(a + b for a, b in zip(diameters, _turned(diameters), strict=True))
    if _turn(diameters, low) <= 2.0 * pi:
        return low
    return root(lambda outer: _turn(diameters, outer) - 2.0 * pi, low, low + sum(diameters))


def cluster(count: int, diameter: float, pitch: float) -> tuple[float, int]:
    """Return the circle round equal circles, and how many stand in its ring.

    `pitch` [m] is the least distance of their centres; one stands in the middle where that
    takes less room, or as little.
    """
    ring = _ring(count, pitch)
    filled = max(pitch, _ring(count - 1, pitch)) if count > 1 else 0.0
    if count > 3 and filled <= ring * (1.0 + 1e-12):
        return 2.0 * filled + diameter, count - 1
    return 2.0 * ring + diameter, count


def _ring(count: int, pitch: float) -> float:
    """Return the radius on which `count` centres lie `pitch` apart."""
    return pitch / 2.0 / sin(pi / count) if count > 1 else 0.0


def _turned(values: Sequence[float]) -> list[float]:
    return [*values[1:], values[0]]


def _turn(diameters: Sequence[float], outer: float) -> float:
    """Return the angle [rad] that a ring of touching circles takes inside one of `outer` [m]."""
    return sum(_step(*pair, outer) for pair in zip(diameters, _turned(diameters), strict=True))


def _step(one: float, next_: float, outer: float) -> float:
    """Return the angle between the centres of two circles that touch, by the cosine rule."""
    a, b, apart = outer - one, outer - next_, one + next_
    return acos(max(-1.0, min(1.0, (a * a + b * b - apart * apart) / (2.0 * a * b))))
