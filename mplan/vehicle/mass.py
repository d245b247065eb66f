"""What things weigh, from what is attached now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from mplan.scenario import Element, Scenario
from mplan.vehicle.ledger import Ledger
from mplan.vehicle.living.account import LivingAccount, aboard


def dry(element: Element, scenario: Scenario) -> float:
    """Return an element's dry mass with the growth the margin policy foresees [kg]."""
    return element.dry_mass * (1.0 + scenario.margins.mass_growth)


def stores(element: Element, account: LivingAccount) -> float:
    """Return the mass of what an element carries for its crew and its fuel cells [kg].

    What was used stays aboard as waste, but for what has leaked, was dumped or was passed on.
    """
    if element.supplies is None and element.power is None and not account.person_seconds:
        return 0.0  # a stage or a fairing, which is most of what is weighed
    return aboard(element, account)


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
        + stores(bodies[name], ledger.account(name))
        + ledger.propellant(name)
        + crew.get(name, 0) * one
        + cargo.get(name, 0.0)
        for name in elements
    ]
    return sum(masses)
