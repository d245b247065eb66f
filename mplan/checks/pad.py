"""Does the stack fit the pad?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.vehicle.stack import on_pad

LIMITS = "the scenario's [launch_site.pad]"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each limit of the pad that the stack passes; what has none is free."""
    stack, pad = on_pad(flight.scenario), flight.scenario.launch_site.pad
    for what, is_, limit, scale, unit in (
        ("tall", stack.height, pad.height_limit, 1.0, "m"),
        ("wide", stack.width, pad.width_limit, 1.0, "m"),
        ("wide at its foot", stack.footprint, pad.footprint_limit, 1.0, "m"),
        ("heavy", stack.mass, pad.mass_limit, 1e-3, "t"),
    ):
        if limit is not None and is_ > limit:
            over = (is_ - limit) * scale
            yield _over(
                f"too {what}",
                f"the stack is {over:.1f} {unit} too {what} for the pad",
                f"{limit * scale:.1f} {unit} at most",
                f"{is_ * scale:.1f} {unit}",
            )
    most = pad.element_limit
    if most is not None and stack.elements > most:
        text = f"the stack has {stack.elements} elements, the pad takes {most}"
        yield _over("too many elements", text, f"{most} at most", str(stack.elements))


def _over(event: str, text: str, asked: str, there: str) -> Finding:
    return Finding("stops the flight", "pad", event, text, asked, there, LIMITS)
