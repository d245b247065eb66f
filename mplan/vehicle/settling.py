"""Which thrusters settle an engine's propellant, how hard they push and for how long."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mplan.physics.burns.settling import bond_number, time_to_settle
from mplan.physics.propellants import PROPELLANTS
from mplan.physics.rocket import mass_flow
from mplan.scenario import Element, Engine, Scenario
from mplan.vehicle import layout

SETTLERS = ("settling", "thrusters")  # purposes of engines that do it, the first choice first


@dataclass(frozen=True)
class Settler:
    """Thrusters that settle: `push` [N] and `flow` [kg/s] of those that fire forward together."""

    element: str
    name: str
    engine: Engine

    @property
    def push(self) -> float:
        """Thrust of those that fire together [N]."""
        return (self.engine.settling_count or self.engine.count) * self.engine.thrust_vacuum

    @property
    def flow(self) -> float:
        """What they draw [kg/s]."""
        return mass_flow(self.push, self.engine.isp_vacuum)


def settler(
    scenario: Scenario, element: str, engine: Engine, joined: Iterable[str]
) -> Settler | None:
    """Return what settles the propellant of an `element`'s `engine`; None if nothing can.

    What `settled_by` names; else thrusters of the same element, else of another one joined to
    it. What is not among the elements `joined` settles nothing.
    """
    craft = tuple(joined)
    if engine.settled_by is not None:
        other, name = engine.settled_by.split(".")
        if other not in craft:
            return None
        return Settler(other, name, scenario.elements[other].engines[name])
    return first_settler(scenario, element, craft)


def first_settler(scenario: Scenario, element: str, craft: Iterable[str]) -> Settler | None:
    """Return thrusters of an `element`, else of another one of a craft; None if it has none."""
    craft = tuple(craft)
    for other in (element, *(x for x in craft if x != element)):
        found = _own(scenario.elements[other])
        if found is not None and scenario.elements[other].inside not in craft:
            return Settler(other, *found)
    return None


def _own(element: Element) -> tuple[str, Engine] | None:
    for purpose in SETTLERS:
        for name, engine in element.engines.items():
            if engine.purpose == purpose:
                return name, engine
    return None


@dataclass(frozen=True)
class Liquid:
    """What has to be settled in one tank: its size [m], and how it clings [kg/m3, N/m]."""

    length: float
    radius: float
    density: float
    tension: float


def liquids(element: Element, engine: Engine) -> list[Liquid]:
    """Return what an engine draws from `element`; a tank without a place is as large as that."""
    laid = layout.of(element)
    placed = {each.tank: each.vessel for each in laid.tanks}
    found = []
    for tank in filter(None, (engine.fuel, engine.oxidiser)):
        fluid, vessel = PROPELLANTS[element.tanks[tank].propellant], placed.get(tank)
        if fluid.surface_tension is not None:
            length = vessel.length if vessel else laid.length
            radius = (vessel.diameter if vessel else element.diameter) / 2.0
            found.append(Liquid(length, radius, fluid.density, fluid.surface_tension))
    return found


def least_bond_number(held: Iterable[Liquid], push: float) -> float:
    """Return the Bond number at an acceleration [m/s2] of what settles worst."""
    return min(bond_number(x.density, push, x.radius, x.tension) for x in held)


def duration(held: Iterable[Liquid], engine: Engine, push: float) -> float:
    """Return how long [s] to push [m/s2]: as the engine states, or for the longest tank."""
    if engine.settling_time is not None:
        return engine.settling_time
    return time_to_settle(push, max(x.length for x in held))
