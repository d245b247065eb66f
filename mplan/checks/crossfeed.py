"""Where a burn runs short, do joined elements hold the same propellant?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.burns import SETTLED
from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario.wording import plain

OWN = "crossfeed of the engine: an element burns its own propellant unless one is stated"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each burn that is short while what it burns is there, but not its own."""
    for burn in flight.burns:
        short = burn.required - burn.available
        if short > SETTLED and burn.elsewhere:
            held = " and ".join(
                f"{kg / 1e3:.1f} t in {plain(name)}" for name, kg in burn.elsewhere.items()
            )
            text = f"{burn.name} cannot draw on {held}: no crossfeed joins it to these tanks"
            yield Finding(
                severity="for information",
                check="crossfeed",
                event=burn.name,
                text=text,
                limit=f"{short:.0f} m/s more",
                found=held,
                basis=OWN,
                subject=(burn.element, burn.engine),
            )
