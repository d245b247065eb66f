"""What of a craft the air meets: its outline as surfaces, from the top down, and its fins."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.physics.climb import normal_force
from mplan.physics.climb.normal_force import Surface
from mplan.vehicle.control.condition import Condition

Fin = tuple[str, float]  # element, station [m] of its middle


def surfaces(at: Condition) -> tuple[Surface, ...]:
    """Return what gives a normal force: each taper, each step between elements, fins.

    An element tapers over its whole length; what stands inside another meets no air; boosters
    stand in it each for itself, with a flat nose.
    """
    return (*_column(at), *_boosters(at), *(_fins(at, fin) for fin in finned(at)))


def finned(at: Condition) -> Iterator[Fin]:
    """Yield the elements in the air that have fins, with the station of the fins' middle."""
    for name, foot in at.feet.items():
        fins = at.scenario.elements[name].fins
        if fins is not None and at.scenario.elements[name].inside not in at.feet:
            yield name, foot + fins.area / fins.span / 2.0


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


def _fins(at: Condition, fin: Fin) -> Surface:
    name, station = fin
    element = at.scenario.elements[name]
    fins, wide = element.fins, element.diameter
    slope = normal_force.fins(fins.count, fins.area, fins.span, wide)
    return Surface(slope * normal_force.beside_body(fins.span, wide), station)


def _stands_alone(at: Condition, name: str) -> bool:
    element = at.scenario.elements[name]
    return element.inside not in at.feet and element.beside not in at.feet
