"""What would mend the order of events: all the events that are missing at one place."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario import Scenario


def proposals(finding: Finding, flight: Flight) -> Iterator[tuple[str, Scenario]]:
    """Yield the scenario with what is missing at the finding's place, if that is events alone."""
    own = next((x.missing for x in flight.faults if finding.text.endswith(x.text)), None)
    if own is None:
        return
    all_missing = (x.missing for x in flight.faults)
    missing = [x for x in all_missing if x is not None and x.before == own.before]
    events = flight.scenario.events_as_written()
    events[own.before : own.before] = [dict(x.event) for x in missing]
    written = "; ".join(x.written for x in missing)
    yield f"before events.{own.before}: {written}", flight.scenario.change("events", events)
