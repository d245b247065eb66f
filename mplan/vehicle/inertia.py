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
from typing import NamedTuple

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Scenario
from mplan.vehicle import geometry, mass
from mplan.vehicle.ledger import Ledger

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


def about_axis(mass: float, radius: float, *, hollow: bool) -> float:
    """Return a cylinder's moment [kg m2] about its axis: m r2 of a thin shell, else half of it."""
    return mass * radius**2 * (1.0 if hollow else 0.5)


def about_middle(mass: float, radius: float, length: float, *, hollow: bool) -> float:
    """Return its moment [kg m2] across the axis, about its middle: m r2/4 or m r2/2 + m L2/12."""
    return about_axis(mass, radius, hollow=hollow) / 2.0 + mass * length**2 / 12.0


def joined(bodies: Sequence[Cylinder], length: float) -> Inertia:
    """Return mass properties of bodies about their common centre of mass, which is on the axis.

    What stands away from the axis counts half of m away2 in pitch: the mean of pitch and yaw.
    """
    total = sum(body.mass for body in bodies)
    centre = sum(body.mass * body.middle for body in bodies) / total
    roll = sum(
        about_axis(body.mass, body.radius, hollow=body.hollow) + body.mass * body.away**2
        for body in bodies
    )
    pitch = sum(
        about_middle(body.mass, body.radius, body.length, hollow=body.hollow)
        + body.mass * ((body.middle - centre) ** 2 + body.away**2 / 2.0)
        for body in bodies
    )
    return Inertia(total, centre, roll, pitch, length)


def lengths(scenario: Scenario) -> dict[str, float]:
    """Return the length [m] of every element, worked out once for many crafts."""
    return {name: geometry.length(scenario.elements[name]) for name in scenario.order}


def of(
    craft: Iterable[str],
    scenario: Scenario,
    ledger: Ledger,
    extra: Mapping[str, float],
    lengths: Mapping[str, float],
) -> Inertia:
    """Return mass properties of joined elements of these `lengths` [m].

    `extra` [kg] is crew and cargo, by element.
    """
    return of_stations(*stations(craft, scenario, lengths), scenario, ledger, extra, lengths)


def of_stations(
    feet: Mapping[str, float],
    total: float,
    scenario: Scenario,
    ledger: Ledger,
    extra: Mapping[str, float],
    lengths: Mapping[str, float],
) -> Inertia:
    """Return the same of elements whose `stations` are known: their `feet` and `total` length."""
    bodies = []
    for name, foot in feet.items():
        element, long = scenario.elements[name], lengths[name]
        away, middle, radius = _away(element, scenario), foot + long / 2.0, element.diameter / 2.0
        dry = (
            mass.dry(element, scenario)
            + mass.stores(element, ledger.account(name))
            + extra.get(name, 0.0)
        )
        bodies.append(Cylinder(dry, middle, radius, long, element.role in SHELLS, away))
        wet = ledger.propellant(name)
        if wet > 0.0:
            area = pi * radius**2 * element.bodies
            tall = min(long, _volume(name, element, ledger) / area)
            bodies.append(Cylinder(wet, middle, radius, tall, hollow=False, away=away))
    return joined(bodies, total)


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
    roles = {name: scenario.elements[name].role for name in craft}
    ship = tuple(name for name in craft if roles[name] in SHIP)
    lander = tuple(name for name in craft if roles[name] in LANDER)
    if not ship or not lander or len(ship) + len(lander) < len(craft):
        return tuple(name for name in scenario.order if name in craft)
    return ship + lander[::-1]


def _volume(name: str, element: Element, ledger: Ledger) -> float:
    """Return what an element's propellant fills now [m3]."""
    return sum(
        ledger.levels[name, tank] / PROPELLANTS[holds.propellant].density
        for tank, holds in element.tanks.items()
    )
