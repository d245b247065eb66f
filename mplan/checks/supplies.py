"""Do oxygen, food, water, CO2 absorber and room for waste last in every element people live in?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario import Supplies
from mplan.scenario.wording import plain
from mplan.vehicle.life_support import WASTES, SupplyUse, uses

SOURCE = "NASA/CR-2004-208941, rates per person and day"


def used(flight: Flight) -> list[SupplyUse]:
    """Return the supplies of every element that somebody lives in, in stack order."""
    lived: dict[str, float] = defaultdict(float)
    aboard: dict[str, int] = {}
    for stretch in flight.stretches:
        lived[stretch.element] += stretch.crew * stretch.duration
        aboard[stretch.element] = stretch.crew
    none = Supplies()
    return [
        use
        for name in flight.scenario.stack
        if name in lived
        for use in uses(
            name, flight.scenario.elements[name].supplies or none, lived[name], aboard[name]
        )
    ]


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each supply that runs out, and each waste without room."""
    for use in used(flight):
        short = use.used - use.capacity
        if short > 0.0:
            called = plain(use.supply)
            what = "has no room for" if use.supply in WASTES else "runs short of"
            yield Finding(
                severity="stops the flight" if use.supply not in WASTES else "needs a decision",
                check="supplies",
                event=use.element,
                text=f"{plain(use.element)} {what} {short:.1f} kg of {called}",
                limit=f"{use.used:.1f} kg",
                found=f"{use.capacity:.1f} kg",
                basis=SOURCE,
            )
