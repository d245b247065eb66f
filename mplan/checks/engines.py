"""Has every engine the ignitions and the rated burn time for what is asked of it?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario.wording import plain

RATING = "the engine's rating in the scenario"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each engine lit too often or burned too long."""
    ledger = flight.end.ledger
    for (element, name), lit in ledger.ignitions.items():
        engine = flight.scenario.elements[element].engines[name]
        called = f"{engine.label or plain(name)} of {plain(element)}"
        if lit > engine.ignitions:
            text = f"{called} is lit {lit} times and is good for {engine.ignitions}"
            asked, there = f"{lit} ignitions", f"{engine.ignitions} ignitions"
            yield _finding("ignitions", (element, name), text, asked, there)
        burned = ledger.seconds[element, name]
        if burned > engine.burn_time:
            text = f"{called} burns {burned:.0f} s in all and is rated for {engine.burn_time:.0f} s"
            asked, there = f"{burned:.0f} s", f"{engine.burn_time:.0f} s"
            yield _finding("burn time", (element, name), text, asked, there)


def _finding(check: str, subject: tuple[str, str], text: str, asked: str, there: str) -> Finding:
    return Finding("stops the flight", check, subject[0], text, asked, there, RATING, subject)
