"""Can the craft be controlled, from hold-down to the parachutes: authority required and available.

A phase without an active guidance element, or with less control authority than required, stops
the flight. Moments of inertia are estimates, and so is all that is said here.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from mplan.checks.finding import Finding
from mplan.checks.phases import Phase, handovers, phases
from mplan.flight.record import Flight
from mplan.physics.constants import DEG
from mplan.scenario.figures import Figures, at_least
from mplan.scenario.wording import plain
from mplan.vehicle.control.authority import Authority
from mplan.vehicle.control.contribution import AXES, WORDS, Axis

__all__ = ["AXES", "Phase", "findings", "handovers", "phases"]

BASIS = "worst-case sum of the criteria in [control], times margin_factor; inertia is an estimate"
GUIDANCE = "active_guidance of an element"
GIMBAL = "gimbal of the engine"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield what cannot be controlled, in flight order.

    Of phases that lack the same by the same means, the one that lacks most.
    """
    found = phases(flight)
    yield from _unguided(found)
    yield from _unstated(found)
    for axis in AXES:
        yield from _short_of_authority(found, axis)
    yield from _push(found)


def _unguided(found: tuple[Phase, ...]) -> Iterator[Finding]:
    for phase in found:
        if phase.controller is None and phase.kind != "hold-down":  # the burn that follows says it
            joined = " and ".join(map(plain, phase.craft))
            text = f"no active guidance element controls {joined} at {phase.name}"
            figures = Figures("one active guidance element", "none")
            yield _stops(phase, text, figures, GUIDANCE)


def _unstated(found: tuple[Phase, ...]) -> Iterator[Finding]:
    """Yield a question for each engine whose gimbal is not stated."""
    asked: set[tuple[str, str]] = set()
    for phase in found:
        for lit in (lit for each in phase.moments for lit in each.unstated):
            subject = (lit.element, lit.engine)
            if subject not in asked:
                asked.add(subject)
                text = (
                    f"control authority is not worked out at {phase.name}: the gimbal of the "
                    f"engine {plain(lit.engine)} of {plain(lit.element)} is not stated"
                )
                yield Finding(
                    "needs a decision",
                    "control",
                    phase.name,
                    text,
                    Figures("a gimbal, 0 deg if fixed", "not stated"),
                    GIMBAL,
                    subject,
                )


def _short_of_authority(found: tuple[Phase, ...], axis: Axis) -> Iterator[Finding]:
    worst: dict[tuple[str, tuple[str, ...]], tuple[float, Phase, Authority]] = {}
    for phase in found:
        at = phase.tightest(axis)
        share = None if at is None else at.share(axis)
        if phase.controller is None or at is None or share is None or share <= 1.0:
            continue
        key = (phase.controller, tuple(each.cause for each in at.supplies))
        if key not in worst or share > worst[key][0]:
            worst[key] = (share, phase, at)
    for _, phase, at in worst.values():
        yield _short(phase, at, axis)


def _short(phase: Phase, at: Authority, axis: Axis) -> Finding:
    when = "" if at.when == "begin" else f" ({at.when})"
    text = f"control authority in {WORDS[axis]} is below the requirement at {phase.name}{when}"
    if at.share(axis) == inf:
        text = f"nothing controls the craft in {WORDS[axis]} at {phase.name}{when}"
    causes = ", ".join(each.cause for each in at.supplies if getattr(each, axis))
    required, available = (each / DEG for each in at.both(axis))
    figures = at_least(required, available, "deg/s2", 3)
    said = f"{figures.found} by {causes}" if causes else "no gimbal, thrusters or movable fins"
    return _stops(phase, text, figures._replace(found=said), BASIS)


def _push(found: tuple[Phase, ...]) -> Iterator[Finding]:
    for phase in found:
        at = phase.moments[0]
        if at.push_required is not None and at.push < at.push_required:
            text = f"thrusters push too weakly for docking at {phase.name}"
            figures = at_least(at.push_required, at.push, "m/s2", 3)
            yield _stops(phase, text, figures, BASIS)


def _stops(phase: Phase, text: str, figures: Figures, basis: str) -> Finding:
    subject = (phase.controller,) if phase.controller else ()
    return Finding("stops the flight", "control", phase.name, text, figures, basis, subject)
