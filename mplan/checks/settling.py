"""Is propellant settled before every pumped engine that is lit in flight?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.settling import Settling
from mplan.physics.burns.settling import REORIENTS, USUAL
from mplan.physics.constants import G0
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
        f"{burn.name} starts with loose propellant: {plain(burn.element)} needs it settled and "
        f"{lacking}; thrusters of its own or settled_by would do"
    )
    return _finding("stops the flight", burn, text, ("settled propellant", "none", NEEDS))


def _short(burn: BurnRecord, done: Settling) -> Iterator[Finding]:
    """Yield a finding where the thrusters' tanks hold too little: rounding apart."""
    if done.lacks > 1e-6:
        asked = done.propellant + done.lacks
        text = (
            f"{burn.name} lacks {done.lacks:.1f} kg to settle its propellant: the thrusters of "
            f"{plain(done.element)} run dry"
        )
        figures = f"{asked:.1f} kg", f"{done.propellant:.1f} kg", NEEDS
        yield _finding("stops the flight", burn, text, figures)


def _weak(burn: BurnRecord, done: Settling) -> Iterator[Finding]:
    push, least = done.acceleration, USUAL[0]
    if done.bond < REORIENTS:
        text = (
            f"{burn.name} is not settled: {plain(done.element)} pushes at {push:.1e} m/s2, "
            "less than surface tension holds"
        )
        asked, there = f"Bond number {REORIENTS:.0f}", f"{done.bond:.1f}"
        yield _finding("stops the flight", burn, text, (asked, there, PRACTICE))
    elif push < least:
        text = f"{burn.name} is settled more gently than is usual"
        asked, there = f"{least / G0:.0e} g or more", f"{push / G0:.1e} g"
        yield _finding("for information", burn, text, (asked, there, PRACTICE))


def _finding(
    severity: Severity, burn: BurnRecord, text: str, figures: tuple[str, str, str]
) -> Finding:
    subject = (burn.element, burn.engine)
    return Finding(severity, "settling", burn.name, text, *figures, subject)
