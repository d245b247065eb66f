"""What of a craft the air meets: its outline as surfaces, from the top down, and its fins."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.physics.climb import normal_force
from mplan.physics.climb.normal_force import Surface
from mplan.scenario import Element
from mplan.scenario.control import Fins
from mplan.vehicle.control.condition import Condition


class Finned(NamedTuple):
    """An element with fins in the air; `station` [m] is that of the fins' middle."""

    name: str
    element: Element
    fins: Fins
    station: float


def surfaces(at: Condition) -> tuple[Surface, ...]:
    """Return what gives a normal force: each taper, each step between elements, fins.

    An element tapers over its whole length; what stands inside another meets no air; boosters
    stand in it each for itself, with a flat nose.
    """
    return (*_column(at), *_boosters(at), *map(_fins, finned(at)))


def finned(at: Condition) -> Iterator[Finned]:
    """Yield the elements in the air that have fins."""
    for name, foot in at.feet.items():
        element = at.scenario.elements[name]
        fins = element.fins
        if fins is not None and element.inside not in at.feet:
            yield Finned(name, element, fins, foot + fins.area / fins.span / 2.0)


def _column(at: Condition) -> Iterator[Surface]:
    outside = [name for name in at.feet if _stands_alone(at, name)]
    above = 0.0  # m, diameter of what ends there
    for name in sorted(outside, key=lambda name: -at.feet[name]):
        element, foot, length = at.scenario.elements[name], at.feet[name], at.lengths[name]
        upper = element.top_diameter or element.diameter
        yield normal_force.frustum(above, upper, foot + length, 0.0)
        yield normal_force.frustum(upper, element.diameter, foot, length)
        above = element.diameter


def _boosters(at: Condition) -> Iterator[Surface]:
    for name, foot in at.feet.items():
        element = at.scenario.elements[name]
        if element.beside in at.feet:
            nose = normal_force.frustum(0.0, element.diameter, foot + at.lengths[name], 0.0)
            yield nose._replace(slope=nose.slope * element.bodies)


def _fins(found: Finned) -> Surface:
    fins, wide = found.fins, found.element.diameter
    slope = normal_force.fins(fins.count, fins.area, fins.span, wide)
    return Surface(slope * normal_force.beside_body(fins.span, wide), found.station)


def _stands_alone(at: Condition, name: str) -> bool:
    element = at.scenario.elements[name]
    return element.inside not in at.feet and element.beside not in at.feet
