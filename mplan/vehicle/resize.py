"""A stage made longer or shorter: its tanks take the change, and so does its load.

A stage with a `[build]` follows its own tanks: domes stay as they are, spheres shrink with
the root of the load. Any other is taken to be a cylinder of its own diameter.
"""

from __future__ import annotations

from typing import Any

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Scenario
from mplan.scenario.geometry import ULLAGE
from mplan.vehicle import geometry, layout, tankage
from mplan.vehicle.layout import main_loads

MOST = 8.0  # times its load, that a stage may be lengthened to
HALVINGS = 48  # of the load: to a hundred-thousandth of a gram


def length_per_kilogram(element: Element) -> float:
    """Return the length [m] of cylinder that a kilogram of an element's main propellants takes.

    The cylinder has the element's diameter and is loaded in the ratio it is loaded in now.
    ZeroDivisionError for an element without propellant.
    """
    loads = main_loads(element)
    volume = sum(
        tankage.room(load, PROPELLANTS[element.tanks[tank].propellant].density, ULLAGE)
        for tank, load in loads.items()
    )
    return volume / sum(loads.values()) / tankage.area(element.diameter)


def length_with(element: Element, factor: float) -> float:
    """Return the length [m] of an element whose main loads are `factor` times its own."""
    loads = main_loads(element)
    if element.build is None:
        more = (factor - 1.0) * sum(loads.values())
        return layout.of(element).length + more * length_per_kilogram(element)
    return layout.of(element, {k: load * factor for k, load in loads.items()}).length


def factor_for(element: Element, length: float) -> float | None:
    """Return what main loads must be multiplied by for a length [m]; None if nothing gives it.

    Length never falls as loads grow, so that the factor is found by halving.
    """
    low, high = (0.0, 1.0) if length < geometry.length(element) else (1.0, MOST)
    if not length_with(element, low) <= length <= length_with(element, high):
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if length_with(element, middle) > length else (middle, high)
    return low


def reloaded(scenario: Scenario, name: str, kilograms: float) -> Scenario:
    """Return the scenario with `kilograms` more propellant in an element (less, if negative).

    Its length follows.
    """
    element = scenario.elements[name]
    factor = 1.0 + kilograms / sum(main_loads(element).values())
    return scenario.change(changes(element, name, factor))


def shortened(scenario: Scenario, name: str, metres: float) -> Scenario:
    """Return the scenario with an element `metres` shorter and its propellant that much less.

    ScenarioError where its tanks cannot give that much.
    """
    return scenario.change(shortening(scenario, name, metres))


def shortening(scenario: Scenario, name: str, metres: float) -> dict[str, Any]:
    """Return what making an element `metres` shorter changes, by key; errors as `shortened`."""
    element = scenario.elements[name]
    factor = factor_for(element, geometry.length(element) - metres)
    if not factor:
        text = f"cannot be made {abs(metres):.2f} m {'shorter' if metres > 0.0 else 'longer'}: "
        raise scenario.refused(("elements", name), text + _reach(element, metres))
    return changes(element, name, factor)


def changes(element: Element, name: str, factor: float) -> dict[str, Any]:
    """Return what multiplying an element's main loads by `factor` changes, by key."""
    loads = main_loads(element).items()
    found = {f"elements.{name}.tanks.{tank}.load": f"{load * factor} kg" for tank, load in loads}
    if element.build is None:
        found[f"elements.{name}.length"] = f"{length_with(element, factor)} m"
    return found


def _reach(element: Element, metres: float) -> str:
    """Return what an element's length would be at the end of what its tanks allow."""
    if metres > 0.0:
        return f"without propellant it would still be {length_with(element, 0.0):.2f} m long"
    return f"with {MOST:.0f} times its propellant it would be {length_with(element, MOST):.2f} m"
