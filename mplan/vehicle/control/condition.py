"""What a craft is and does at one moment, from which its control authority is worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from mplan.scenario import Engine, Scenario
from mplan.vehicle.inertia import Inertia


@dataclass(frozen=True)
class Lit:
    """Main engines of one kind that burn: how many, and the thrust [N] of one at the moment."""

    element: str
    engine: str
    count: int
    thrust: float

    def rated(self, scenario: Scenario) -> Engine:
        """Return the engine as the scenario has it."""
        return scenario.elements[self.element].engines[self.engine]


class Airflow(NamedTuple):
    """Dynamic pressure [Pa] and angle of attack [rad], the design wind's included."""

    dynamic_pressure: float
    attack: float


class Tasks(NamedTuple):
    """What control has to do then, beside countering what disturbs it."""

    steer: bool = False  # powered flight along a programme
    hold: bool = False  # the attitude
    turn: bool = False  # to another attitude, as for a burn
    null_separation: bool = False  # the rates that a separation leaves
    dock: bool = False
    bank: bool = False  # turn the lift vector in the air


@dataclass(frozen=True)
class Condition:
    """A craft at one moment; `t` [s] since lift-off, `lengths` [m] of elements.

    `feet` is how far each element's foot stands above the craft's [m] (`inertia.stations`).
    """

    when: str
    t: float
    mass: float  # kg
    craft: tuple[str, ...]
    scenario: Scenario
    properties: Inertia
    lengths: Mapping[str, float]
    feet: Mapping[str, float]
    controller: str | None
    tasks: Tasks
    lit: tuple[Lit, ...] = ()
    lost: Lit | None = None  # an engine that has failed: its kind, how many, what one gave
    air: Airflow | None = None  # in the climb
    uneven: float = 0.0  # kg that the body of the failed engine holds more than the one opposite

    def arm(self, element: str) -> float:
        """Return how far an element's engines stand from the centre of mass [m], along the axis."""
        return abs(self.properties.centre - self.feet[element])

    def engine_out(self) -> Condition | None:
        """Return the same with one engine of a cluster failed; None where there is no cluster.

        Of several clusters, the one whose failed engine gives the largest moment. An engine that
        is alone on its body is no cluster: without it the burn is over.
        """
        clusters = [lit for lit in self.lit if lit.count // bodies(self, lit.element) > 1]
        if not clusters:
            return None
        worst = max(clusters, key=lambda lit: lit.thrust * outermost(self, lit))
        less = tuple(replace(x, count=x.count - 1) if x is worst else x for x in self.lit)
        said = f"{self.when}, one engine out"
        return replace(self, when=said, lit=less, lost=replace(worst, count=1))


def bodies(at: Condition, element: str) -> int:
    """Return how many equal bodies an element consists of."""
    return at.scenario.elements[element].bodies


def radius(at: Condition, lit: Lit) -> float:
    """Return how far engines stand from the craft's axis [m]; zero for a single one on it.

    A cluster's as its lever arm says, else a quarter of the diameter (common practice, no source);
    boosters' as far as their own axis.
    """
    away = aside(at, lit.element)
    return away or _of_cluster(at, lit, lit.rated(at.scenario).count)


def outermost(at: Condition, lit: Lit) -> float:
    """Return how far the engine that is furthest out stands from the craft's axis [m].

    Of boosters it is on the far side of their own axis.
    """
    count = lit.rated(at.scenario).count
    return aside(at, lit.element) + _of_cluster(at, lit, count // bodies(at, lit.element))


def _of_cluster(at: Condition, lit: Lit, count: int) -> float:
    """Return how far engines stand from the axis of their body [m], `count` of them on it."""
    if count < 2:
        return 0.0
    return lit.rated(at.scenario).lever_arm or at.scenario.elements[lit.element].diameter / 4.0


def aside(at: Condition, name: str) -> float:
    """Return how far an element's axis stands from the craft's [m]."""
    element = at.scenario.elements[name]
    if element.beside is None or element.beside not in at.craft:
        return 0.0
    return (at.scenario.elements[element.beside].diameter + element.diameter) / 2.0
