"""What would mend the order of events: the events that are missing at one place, or at all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.flight.sequence.fault import Missing
from mplan.scenario import Scenario
from mplan.vehicle.stack import crew_module

BOARDING = "there is no crew transfer before it"


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield the events that are missing at the finding's place, if they are events alone."""
    own = next((x.missing for x in flight.faults if finding.text.endswith(x.text)), None)
    if own is None:
        if finding.text.endswith(BOARDING):
            yield from _aboard(flight.scenario)
        return
    missing = [x.missing for x in flight.faults if x.missing is not None]
    here = [x for x in missing if x.before == own.before]
    yield _with(flight.scenario, here)
    if len(here) < len(missing):
        yield _with(flight.scenario, missing)


def _with(scenario: Scenario, missing: Sequence[Missing]) -> Proposal:
    """Return the events with those that are missing, each before the event it belongs to."""
    events = scenario.events_as_written()
    said: list[str] = []
    for place in sorted({x.before for x in missing}, reverse=True):
        there = [x for x in missing if x.before == place]
        events[place:place] = [dict(x.event) for x in there]
        said.insert(0, f"before events.{place}: {'; '.join(x.written for x in there)}")
    return Proposal("; ".join(said), {"events": events})


def _aboard(scenario: Scenario) -> Iterator[Proposal]:
    """Propose that the landing crew board the lander before it undocks, and return afterwards."""
    home, events = crew_module(scenario), scenario.events
    parts = [(i, x) for i, x in enumerate(events) if x.do == "undock"]
    docks = [i for i, x in enumerate(events) if x.do == "dock"]
    for index, event in parts[-1:]:
        cabin = next((x for x in event.elements if scenario.elements[x].seats), None)
        back = next((i for i in docks if i > index), None)
        if cabin is None or back is None:
            return
        crew = {"do": "transfer crew", "crew": scenario.mission.landing_crew, "duration": "1 h"}
        there = Missing(index, {**crew, "origin": home, "target": cabin})
        yield _with(scenario, [there, Missing(back + 1, {**crew, "origin": cabin, "target": home})])
