"""Do tanks, engines and nested elements fit the sizes that the scenario states?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.fit import built, housed, room
from mplan.flight.record import Flight
from mplan.scenario import Scenario
from mplan.vehicle import geometry

__all__ = ["findings", "of"]


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each thing that has no room where the scenario puts it."""
    yield from of(flight.scenario)


def of(scenario: Scenario) -> Iterator[Finding]:
    """Yield what does not fit in a scenario, flown or not."""
    stack = geometry.standing(scenario)
    yield from built.findings(stack)
    yield from room.findings(stack)
    yield from housed.findings(stack)
