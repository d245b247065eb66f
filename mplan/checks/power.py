"""Does electric energy last in every element that people live in or that serves them?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR
from mplan.scenario.figures import amount, at_least
from mplan.scenario.wording import plain
from mplan.vehicle.living.energy import PowerUse, feed, serving

SOURCE = "power of the elements in the scenario"
KWH = 3.6e6  # J
TRIFLE = 1.0  # J: what rounding may leave undrawn


def used(flight: Flight) -> list[PowerUse]:
    """Return the electric energy of every element that was in use, in stack order."""
    scenario = flight.scenario
    found: dict[str, PowerUse] = {}
    for stretch in flight.stretches:
        group = serving(stretch.element, stretch.craft, scenario)
        for name, power in group:
            found.setdefault(name, PowerUse(name, power.stored_energy))
        feed([(found[name], power) for name, power in group], stretch.duration, stretch.radius)
    return [found[name] for name in scenario.order if name in found]


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each cabin whose loads its stores and those that serve it cannot feed."""
    uses = used(flight)
    for use in uses:
        if use.lacking > TRIFLE:
            yield _lacks(use, flight, uses)


def _lacks(use: PowerUse, flight: Flight, uses: Iterable[PowerUse]) -> Finding:
    stretches = [each for each in flight.stretches if each.element == use.element]
    names = {n for each in stretches for n, _ in serving(use.element, each.craft, flight.scenario)}
    served = [each for each in uses if each.element in names]
    others = [plain(each.element) for each in served if each.element != use.element]
    joined = f" with {' and '.join(others)}" if others else ""
    drawn = sum(each.drawn for each in served)
    lacking = amount(use.lacking / KWH)
    text = (
        f"{plain(use.element)}{joined} runs out of electric energy: {lacking} kWh are lacking, "
        f"{use.time / HOUR:.0f} h in use"
    )
    figures = at_least((drawn + use.lacking) / KWH, drawn / KWH, "kWh")
    return Finding("stops the flight", "power", use.element, text, *figures, SOURCE)
