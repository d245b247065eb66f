"""Centre of mass and moments of inertia of joined elements, each a cylinder on one axis.

What is dry is a thin shell over the length of a stage or adapter, whose walls are most of it,
and spread evenly in any other element. Propellant is a solid cylinder of the element's diameter,
as tall as its volume asks, about the middle of the element. Moments about the craft's centre
follow from the parallel-axis theorem. Neglected: engines, tanks and crew at their real places, and
sloshing; a published ship is met within a fifth.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import pi
from types import MappingProxyType
from typing import NamedTuple

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Scenario
from mplan.vehicle import geometry, mass
from mplan.vehicle.ledger import Key, Ledger
from mplan.vehicle.same import remembered

SHIP = ("service module", "crew module", "escape tower")
LANDER = ("descent stage", "ascent stage")
SHELLS = ("launch stage", "transfer stage", "adapter", "fairing")


class Cylinder(NamedTuple):
    """A cylinder: mass [kg], middle [m] above the craft's foot, radius, length [m].

    `away` [m] is how far its own axis stands from the craft's, in a ring or as a pair.
    """

    mass: float
    middle: float
    radius: float
    length: float
    hollow: bool
    away: float = 0.0


class Inertia(NamedTuple):
    """Mass [kg], centre of mass [m] above the foot, moments [kg m2] about it, length [m]."""

    mass: float
    centre: float
    roll: float
    pitch: float
    length: float


class LaidElement(NamedTuple):
    """An element in a craft, with what of it a flight does not change.

    Lengths in [m]: its `foot` and `middle` above the craft's foot, how far its axis stands `away`.
    """

    name: str
    element: Element
    dry: float  # kg, with the growth that the margin policy foresees
    foot: float
    middle: float
    radius: float
    length: float
    away: float
    hollow: bool
    tanks: tuple[tuple[Key, float], ...]  # with the density of what each holds [kg/m3]


class LaidCraft(NamedTuple):
    """A craft's elements from the foot up, how far up each foot is, and the whole length [m].

    Its `names` are in the order of the craft.
    """

    names: tuple[str, ...]
    places: tuple[LaidElement, ...]
    feet: Mapping[str, float]
    length: float


def joined(bodies: Sequence[Cylinder], length: float) -> Inertia:
    """Return mass properties of bodies about their common centre of mass, which is on the axis.

    About its axis a thin shell has m r2, a cylinder half of it; across it half of that again, and
    m L2/12. What stands away from the axis counts half of m away2 in pitch: the mean of pitch and
    yaw.
    """
    return _joined(bodies, length)


def _joined(
    bodies: Sequence[tuple[float, float, float, float, bool, float]], length: float
) -> Inertia:
    """Return the same of bodies as plain tuples: a flight asks hundreds of times."""
    total = sum([body[0] for body in bodies])
    centre = sum([body[0] * body[1] for body in bodies]) / total
    rolls, pitches = [], []
    for kg, middle, radius, tall, hollow, away in bodies:
        spun = kg * radius**2 * (1.0 if hollow else 0.5)
        across = spun / 2.0 + kg * tall**2 / 12.0
        rolls.append(spun + kg * away**2)
        pitches.append(across + kg * ((middle - centre) ** 2 + away**2 / 2.0))
    return Inertia(total, centre, sum(rolls), sum(pitches), length)


def lengths(scenario: Scenario) -> dict[str, float]:
    """Return the length [m] of every element, worked out once for many crafts."""
    return {name: geometry.length(scenario.elements[name]) for name in scenario.order}


def of(
    craft: Iterable[str], scenario: Scenario, ledger: Ledger, extra: Mapping[str, float]
) -> Inertia:
    """Return mass properties of joined elements; `extra` [kg] is crew and cargo, by element."""
    return of_laid(laid(craft, scenario), ledger, extra)


def of_laid(craft: LaidCraft, ledger: Ledger, extra: Mapping[str, float]) -> Inertia:
    """Return mass properties of a craft that is laid out."""
    bodies, levels = [], ledger.levels
    for name, element, dry, _, middle, radius, long, away, hollow, tanks in craft.places:
        kept = dry + ledger.stores(name, element) + extra.get(name, 0.0)
        bodies.append((kept, middle, radius, long, hollow, away))
        wet = volume = 0.0
        for key, density in tanks:
            wet += levels[key]
            volume += levels[key] / density
        if wet > 0.0:
            tall = min(long, volume / (pi * radius**2 * element.bodies))
            bodies.append((wet, middle, radius, tall, False, away))
    return _joined(bodies, craft.length)


def laid(craft: Iterable[str], scenario: Scenario) -> LaidCraft:
    """Return joined elements laid out; remembered, as a flight asks for each craft many times."""
    return _laid(scenario, tuple(craft))


@remembered(256)  # the crafts of some missions
def _laid(scenario: Scenario, craft: tuple[str, ...]) -> LaidCraft:
    long = {name: geometry.length(scenario.elements[name]) for name in craft}
    feet, total = stations(craft, scenario, long)
    places = (_place(name, foot, long[name], scenario) for name, foot in feet.items())
    return LaidCraft(craft, tuple(places), MappingProxyType(feet), total)


def _place(name: str, foot: float, long: float, scenario: Scenario) -> LaidElement:
    element = scenario.elements[name]
    return LaidElement(
        name=name,
        element=element,
        dry=mass.dry(element, scenario),
        foot=foot,
        middle=foot + long / 2.0,
        radius=element.diameter / 2.0,
        length=long,
        away=_away(element, scenario),
        hollow=element.role in SHELLS,
        tanks=tuple(
            ((name, tank), PROPELLANTS[holds.propellant].density)
            for tank, holds in element.tanks.items()
        ),
    )


def stations(
    craft: Iterable[str], scenario: Scenario, lengths: Mapping[str, float]
) -> tuple[dict[str, float], float]:
    """Return how far each element's foot stands above the craft's [m], and the whole length [m].

    What another joined element houses stands inside it, from its foot up; what stands beside one
    does so at its foot.
    """
    order = in_line(tuple(craft), scenario)
    hosts = {name: _host(scenario.elements[name], order) for name in order}
    feet: dict[str, float] = {}
    top = 0.0
    for name in (x for x in order if hosts[x] is None):
        feet[name], top = top, top + lengths[name]
    filled = dict(feet)
    for name, host in hosts.items():
        if host is None:
            continue
        feet[name] = filled[host]
        if scenario.elements[name].inside == host:
            filled[host] += lengths[name]
    return feet, top


def _host(element: Element, order: tuple[str, ...]) -> str | None:
    """Return the joined element that this one stands inside or beside, None for most."""
    return next((each for each in (element.inside, element.beside) if each in order), None)


def _away(element: Element, scenario: Scenario) -> float:
    """Return how far an element's axis stands from that of what it is beside [m]."""
    if element.beside is None:
        return 0.0
    return (scenario.elements[element.beside].diameter + element.diameter) / 2.0


def in_line(craft: tuple[str, ...], scenario: Scenario) -> tuple[str, ...]:
    """Return a craft's elements from the foot up.

    As in the stack; but a lander out of its housing hangs on the crew module's nose, upside down.
    """
    hangs = hanging(craft, scenario)
    if not hangs:
        return tuple(name for name in scenario.order if name in craft)
    return tuple(name for name in craft if name not in hangs) + hangs[::-1]


def hanging(craft: tuple[str, ...], scenario: Scenario) -> tuple[str, ...]:
    """Return the lander that hangs on a ship's nose by its own, from its foot up; () elsewhere.

    It has a cabin that is docked to: a ship that lands whole stands on its descent stage.
    """
    roles = {name: scenario.elements[name].role for name in craft}
    ship = tuple(name for name in craft if roles[name] in SHIP)
    lander = tuple(name for name in craft if roles[name] in LANDER)
    docks = any(scenario.elements[name].seats for name in lander)
    return lander if ship and docks and len(ship) + len(lander) == len(craft) else ()
