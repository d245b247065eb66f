"""What of a craft the air meets: its outline as surfaces, from the top down, and its fins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from mplan.physics.climb import normal_force
from mplan.physics.climb.normal_force import Surface
from mplan.scenario import Element, Scenario
from mplan.scenario.control import Fins
from mplan.scenario.stated import stated
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


def normal_slope(scenario: Scenario, craft: Sequence[str]) -> float:
    """Return the normal force of a stack over dynamic pressure and angle of attack [m2/rad].

    Of tapers and steps only the width at the foot is left: they add up. Boosters and fins come on
    top, as in `surfaces`. `craft` is in stack order, from the pad up.
    """
    there = [scenario.elements[name] for name in craft]
    column = [x for x in there if x.inside not in craft and x.beside not in craft]
    foot = normal_force.frustum(0.0, column[0].diameter, 0.0, 0.0).slope
    beside = [x for x in there if x.beside in craft]
    boosters = sum(x.bodies * normal_force.frustum(0.0, x.diameter, 0.0, 0.0).slope for x in beside)
    finned = [x for x in there if x.fins is not None and x.inside not in craft]
    return foot + boosters + sum(_fin_slope(x) for x in finned)


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
    return Surface(_fin_slope(found.element), found.station)


def _fin_slope(element: Element) -> float:
    """Return the slope [m2/rad] of an element's fins, with what they add on its body."""
    fins, wide = stated(element.fins, "fins"), element.diameter
    slope = normal_force.fins(fins.count, fins.area, fins.span, wide)
    return slope * normal_force.beside_body(fins.span, wide)


def _stands_alone(at: Condition, name: str) -> bool:
    element = at.scenario.elements[name]
    return element.inside not in at.feet and element.beside not in at.feet
