"""Is the thrust high enough to lift off?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.flight.record import BurnRecord, Flight
from mplan.scenario.figures import Figures, Measured, apart

PHYSICS = "the weight of the stack on the pad"
BRISK = 1.15  # lift-off thrust-to-weight below which gravity and wind losses grow large
PRACTICE = "common practice, no source"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on thrust-to-weight at lift-off."""
    first = next((burn for burn in flight.burns if burn.leg == "climb"), None)
    if first is not None:
        yield from _lift_off(first)


def _lift_off(burn: BurnRecord) -> Iterator[Finding]:
    ratio = burn.thrust_to_weight
    if ratio <= 1.0:
        limit, found = apart(1.0, ratio, 2)
        text = f"the stack does not leave the pad: its thrust-to-weight is {found}"
        figures = Figures(f"thrust-to-weight above {limit}", found, _least(1.0, ratio))
        yield _finding(burn, "stops the flight", text, figures, PHYSICS)
    elif ratio < BRISK:
        limit, found = apart(BRISK, ratio, 2)
        text = f"a slow lift-off: the thrust-to-weight is {found}"
        figures = Figures(f"thrust-to-weight {limit} at least", found, _least(BRISK, ratio))
        yield _finding(burn, "needs a decision", text, figures, PRACTICE)


def _least(limit: float, ratio: float) -> Measured:
    return Measured(limit, ratio, "", 2, least=True)


def _finding(
    burn: BurnRecord, severity: Severity, text: str, figures: Figures, basis: str
) -> Finding:
    subject = (burn.element, burn.engine)
    return Finding(severity, "thrust", "lift-off", text, figures, basis, subject)
