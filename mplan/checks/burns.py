"""Has every burn its delta-v, with what the margin policy holds back?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.checks.finding import Finding
from mplan.flight.record import BurnRecord, Flight
from mplan.scenario.wording import plain

POLICY = "the scenario's [margins]"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each burn that cannot be flown or eats into its margin."""
    for burn in flight.burns:
        if burn.trouble:
            how = "" if burn.leg == "rendezvous" else " as one burn"  # a row of them
            text = f"{burn.name} cannot be flown{how}: {burn.trouble}"
            yield replace(_finding(burn, text), check="one burn")
        short = burn.required - burn.available
        if short > SETTLED:
            text = f"{burn.name} lacks {short:.0f} m/s: the {plain(burn.element)} runs dry first"
            yield _finding(burn, text)
        elif burn.margin < -SETTLED:
            text = (
                f"{burn.name} lacks {-burn.margin:.0f} m/s of margin: it can be flown, "
                f"but not with {burn.reserved:.0f} m/s held back in {plain(burn.element)}"
            )
            yield _finding(burn, text)


SETTLED = 0.005  # m/s: a stage that burns out is short by rounding only


def _finding(burn: BurnRecord, text: str) -> Finding:
    return Finding(
        severity="stops the flight",
        check="delta-v",
        event=burn.name,
        text=text,
        limit=f"{burn.required + burn.reserved:.0f} m/s",
        found=f"{burn.available:.0f} m/s",
        basis=POLICY,
        subject=(burn.element, burn.engine),
    )
