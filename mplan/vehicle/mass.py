"""What things weigh, from what is attached now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from mplan.scenario import Element, Scenario
from mplan.vehicle.ledger import Ledger


def dry(element: Element, scenario: Scenario) -> float:
    """Return an element's dry mass with the growth the margin policy foresees [kg]."""
    return element.dry_mass * (1.0 + scenario.margins.mass_growth)


def of(
    elements: Iterable[str],
    scenario: Scenario,
    ledger: Ledger,
    crew: Mapping[str, int],
    cargo: Mapping[str, float],
) -> float:
    """Return the mass [kg] of joined `elements` with propellant, stores, crew and cargo."""
    bodies, one = scenario.elements, scenario.mission.crew_mass
    masses = [
        dry(bodies[name], scenario)
        + ledger.stores(name, bodies[name])
        + ledger.propellant(name)
        + crew.get(name, 0) * one
        + cargo.get(name, 0.0)
        for name in elements
    ]
    return sum(masses)
