"""Is propellant settled before every pumped engine that is lit in flight?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.settling import Settling
from mplan.physics.burns.settling import REORIENTS, USUAL
from mplan.scenario.figures import Figures, Measured, amount, apart, at_least
from mplan.scenario.wording import plain

NEEDS = "settling_required of the engine"
PRACTICE = "common practice, no source"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each start that nothing settles, or that is settled too little."""
    for burn in flight.burns:
        done = burn.settling
        if done is not None and not done.element:
            yield _nothing(flight, burn)
        elif done is not None:
            yield from _short(burn, done)
            yield from _weak(burn, done)


def _nothing(flight: Flight, burn: BurnRecord) -> Finding:
    named = flight.scenario.elements[burn.element].engines[burn.engine].settled_by
    lacking = f"{named} is not joined to it" if named else "no thrusters are joined to it"
    text = (
        f"{burn.name} starts with unsettled propellant: {plain(burn.element)} requires settling "
        f"and {lacking}; state thrusters of its own, or settled_by"
    )
    figures = Figures("settled propellant", "no settling thrusters")
    return _finding("stops the flight", burn, text, figures, NEEDS)


def _short(burn: BurnRecord, done: Settling) -> Iterator[Finding]:
    """Yield a finding where the thrusters' tanks hold too little, beyond rounding."""
    if done.lacks > 1e-6:
        text = (
            f"{burn.name} lacks {amount(done.lacks)} kg to settle its propellant: the thrusters of "
            f"{plain(done.element)} run out of propellant"
        )
        figures = at_least(done.propellant + done.lacks, done.propellant, "kg")
        yield _finding("stops the flight", burn, text, figures, NEEDS)


def _weak(burn: BurnRecord, done: Settling) -> Iterator[Finding]:
    push, least = done.acceleration * 1e3, USUAL[0] * 1e3  # mm/s2
    if done.bond < REORIENTS:
        text = (
            f"{burn.name} is not settled: {plain(done.element)} accelerates the craft at "
            f"{amount(push, 3)} mm/s2, too little against surface tension"
        )
        limit, found = apart(REORIENTS, done.bond)
        measure = Measured(REORIENTS, done.bond, "", least=True)
        figures = Figures(f"Bond number {limit} at least", found, measure)
        yield _finding("stops the flight", burn, text, figures, PRACTICE)
    elif push < least:
        text = f"{burn.name} is settled at a lower acceleration than is usual"
        figures = at_least(least, push, "mm/s2", 2)
        yield _finding("for information", burn, text, figures, PRACTICE)


def _finding(
    severity: Severity, burn: BurnRecord, text: str, figures: Figures, basis: str
) -> Finding:
    subject = (burn.element, burn.engine)
    return Finding(severity, "settling", burn.name, text, figures, basis, subject)
