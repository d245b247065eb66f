"""Is there thrust enough to leave the pad?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import BurnRecord, Flight

PHYSICS = "weight"
BRISK = 1.15  # lift-off thrust-to-weight below which gravity and wind take a heavy toll
PRACTICE = "common practice, no source"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on thrust-to-weight at lift-off."""
    first = next((burn for burn in flight.burns if burn.leg == "climb"), None)
    if first is not None:
        yield from _lift_off(first)


def _lift_off(burn: BurnRecord) -> Iterator[Finding]:
    ratio, subject = burn.thrust_to_weight, (burn.element, burn.engine)
    there = f"thrust-to-weight {ratio:.2f}"
    if ratio <= 1.0:
        text = f"the stack does not leave the pad: its thrust is {ratio:.2f} of its weight"
        yield Finding(
            "stops the flight", "thrust", "lift-off", text, "above 1", there, PHYSICS, subject
        )
    elif ratio < BRISK:
        text = f"a slow lift-off: the thrust is {ratio:.2f} of the stack's weight"
        asked = f"{BRISK:.2f} or more"
        yield Finding(
            "needs a decision", "thrust", "lift-off", text, asked, there, PRACTICE, subject
        )
