"""Which ship an element is counted with, and which flight was the last that had it."""

from __future__ import annotations

from mplan.flight.record import Flight
from mplan.scenario import Scenario


def owner(scenario: Scenario, element: str) -> str:
    """Return the name of the ship that lifts an element off; "" for the main ship."""
    return next((name for name, ship in scenario.ships.items() if element in ship.stack), "")


def last_flight(flight: Flight, element: str) -> Flight:
    """Return the flight that had an element last: of the ship that met it, or of its own."""
    for _, ship, _ in reversed(flight.ships):
        if ship.start.joined(element) or any(x.after.joined(element) for x in ship.passages):
            return ship
    return flight
