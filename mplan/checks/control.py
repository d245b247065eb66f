"""Can whoever steers do so, from hold-down to splash: mass, turning and pushing, by phase."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.phases import Phase, handovers, phases
from mplan.flight.record import Flight
from mplan.physics.constants import DEG
from mplan.scenario import Scenario
from mplan.scenario.wording import plain

__all__ = ["Phase", "findings", "handovers", "phases"]

UNIT = "control_capacity of the element"
LEAST = "the scenario's [control]; moments of inertia are estimates"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings where nothing steers, a stack is too heavy, or it answers too slowly."""
    told: set[tuple[str, str | None, str]] = set()
    for phase in phases(flight):
        if phase.kind == "hold-down":
            continue  # the burn that follows says it
        yield from _too_heavy(phase)
        for what, finding in _sluggish(phase, flight.scenario):
            key = (what, phase.controller, phase.first.source)
            if key not in told:
                told.add(key)
                yield finding


def _too_heavy(phase: Phase) -> Iterator[Finding]:
    there = f"{phase.mass / 1e3:.1f} t"
    if phase.controller is None:
        joined = " and ".join(map(plain, phase.craft))
        text = f"nothing steers at {phase.name}: no control unit is aboard {joined}"
        yield _finding(phase, text, "a control unit", "none", UNIT, "stops the flight")
        return
    if phase.steered_from == phase.begin:
        return
    text = (
        f"at {phase.name} the craft is too heavy for the control unit of {plain(phase.controller)}"
    )
    if phase.steered_from is None:
        text += f", until its end after {phase.end - phase.begin:.0f} s"
    else:
        text += f" until {phase.steered_from:.1f} s after lift-off"
    yield _finding(phase, text, f"{phase.capacity / 1e3:.1f} t at most", there, UNIT)


def _sluggish(phase: Phase, scenario: Scenario) -> Iterator[tuple[str, Finding]]:
    """Yield findings on turning and pushing, with the word for what is slow."""
    least = scenario.control
    turn = least.powered_turn if phase.powered else least.coasting_turn
    if not phase.first.source:
        text = f"nothing turns the craft at {phase.name}: it has neither gimbal nor thrusters"
        yield "turn", _finding(phase, text, "thrusters", "none", LEAST)
        return
    rates = (("pitch and yaw", phase.pitch, turn), ("roll", phase.roll, least.coasting_turn))
    for what, rate, asked in rates:
        if rate is not None and rate < asked:
            text = f"the craft turns too slowly in {what} at {phase.name}, by {phase.first.source}"
            said = (f"{asked / DEG:.3f} deg/s2 or more", f"{rate / DEG:.4f} deg/s2")
            yield what, _finding(phase, text, *said, LEAST, "needs a decision")
    if phase.powered and phase.roll is None and phase.pitch is not None:
        text = f"nothing holds the craft in roll at {phase.name}"
        yield "roll", _finding(phase, text, "thrusters", "none", LEAST, "needs a decision")
    push = phase.first.push
    if phase.docking and push is not None and push < least.docking_push:
        text = f"thrusters push too weakly at {phase.name}"
        said = (f"{least.docking_push:.3f} m/s2 or more", f"{push:.4f} m/s2")
        yield "push", _finding(phase, text, *said, LEAST, "needs a decision")


def _finding(
    phase: Phase,
    text: str,
    asked: str,
    there: str,
    source: str,
    severity: str = "stops the flight",
) -> Finding:
    subject = (phase.controller,) if phase.controller else ()
    return Finding(severity, "control", phase.name, text, asked, there, source, subject)
