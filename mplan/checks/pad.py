"""Does the stack fit the pad?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.vehicle.stack import on_pad

LIMITS = "the scenario's [launch_site.pad]"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each limit of the pad that the stack passes."""
    stack, pad = on_pad(flight.scenario), flight.scenario.launch_site.pad
    for what, is_, limit, scale, unit in (
        ("tall", stack.height, pad.height_limit, 1.0, "m"),
        ("wide", stack.width, pad.width_limit, 1.0, "m"),
        ("heavy", stack.mass, pad.mass_limit, 1e-3, "t"),
    ):
        if is_ > limit:
            over = (is_ - limit) * scale
            yield Finding(
                severity="stops the flight",
                check="pad",
                event=f"too {what}",
                text=f"the stack is {over:.1f} {unit} too {what} for the pad",
                asked=f"{limit * scale:.1f} {unit} at most",
                there=f"{is_ * scale:.1f} {unit}",
                source=LIMITS,
            )
