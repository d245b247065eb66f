"""Can the events follow one another as they are listed? Asked before anything is flown."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario.changes import dotted
from mplan.scenario.figures import Figures

ORDER = "the order of events"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield each fault in the order of events, with the place in the file."""
    for fault in flight.faults:
        key = dotted(fault.path)
        yield Finding(
            severity="stops the flight",
            check="sequence",
            event=flight.scenario.events[fault.event].title,
            text=f"{key}: {fault.text}",
            figures=Figures("events that can follow one another", key),
            basis=ORDER,
            where=flight.scenario.where(fault.path),
        )
