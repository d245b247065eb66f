"""Where a burn runs short, do joined elements hold the same propellant?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.burns import ROUNDING, lacks
from mplan.checks.finding import Finding
from mplan.flight.record import BurnRecord, Flight
from mplan.scenario.figures import Figures, FoundNumber, amount
from mplan.scenario.wording import plain

OWN = "crossfeed of the engine: an element burns its own propellant unless one is stated"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each short burn whose propellant is in tanks that it cannot draw on."""
    for burn in flight.burns:
        if lacks(burn) > ROUNDING and burn.elsewhere:
            yield _out_of_reach(burn)


def _out_of_reach(burn: BurnRecord) -> Finding:
    elsewhere = " and ".join(
        f"{amount(kg / 1e3)} t in the {plain(name)}" for name, kg in burn.elsewhere.items()
    )
    return Finding(
        severity="for information",
        check="crossfeed",
        event=burn.name,
        text=f"{burn.name} cannot draw on {elsewhere}: no crossfeed line joins these tanks to its "
        "engine",
        figures=Figures(
            f"{amount(lacks(burn), 0)} m/s more required",
            elsewhere,
            amounts=tuple(FoundNumber(kg / 1e3, 1) for kg in burn.elsewhere.values()),
        ),
        basis=OWN,
        subject=(burn.element, burn.engine),
        together="burns cannot draw on tanks of other elements",
        item=f"{burn.name}, {elsewhere}",
    )
