"""A stage made longer or shorter: its tanks take the change, and so does its load."""

from __future__ import annotations

from math import pi

from mplan.scenario import Element, Scenario
from mplan.vehicle.propellants import PROPELLANTS

FILLED = 0.97  # of a tank's volume; the rest is ullage (common practice, no source)


def length_per_kilogram(element: Element) -> float:
    """Return the length [m] of tank that a kilogram of an element's main propellants takes.

    The tanks are taken as cylinders of the element's own diameter, loaded in the ratio they
    are loaded in now. ZeroDivisionError for an element without propellant.
    """
    loads = main_loads(element)
    volume = sum(load / PROPELLANTS[element.tanks[tank].propellant].density for tank, load in loads)
    area = pi / 4.0 * element.diameter**2
    return volume / sum(load for _, load in loads) / area / FILLED


def main_loads(element: Element) -> list[tuple[str, float]]:
    """Return the tanks that main engines draw from, with their loads [kg]."""
    drawn = {
        tank
        for engine in element.engines.values()
        if engine.purpose == "main"
        for tank in (engine.fuel, engine.oxidiser)
    }
    return [(name, tank.load) for name, tank in element.tanks.items() if name in drawn]


def reloaded(scenario: Scenario, name: str, kilograms: float) -> Scenario:
    """Return the scenario with `kilograms` more propellant in an element (less, if negative).

    Its length follows unless another element encloses it.
    """
    element = scenario.elements[name]
    loads = main_loads(element)
    factor = 1.0 + kilograms / sum(load for _, load in loads)
    changes = {f"elements.{name}.tanks.{tank}.load": f"{load * factor} kg" for tank, load in loads}
    length = element.length + kilograms * length_per_kilogram(element)
    return scenario.change({**changes, f"elements.{name}.length": f"{length} m"})


def shortened(scenario: Scenario, name: str, metres: float) -> Scenario:
    """Return the scenario with an element `metres` shorter and its propellant that much less."""
    return reloaded(scenario, name, -metres / length_per_kilogram(scenario.elements[name]))
