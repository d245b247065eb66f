"""What would lift a stack off, bring it to its orbit, or keep its climb within its limits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.checks.finding import Finding
from mplan.checks.remedies import swaps
from mplan.checks.remedies.kinds.delta_v import less_propellant, lighter
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.flight.state import existing
from mplan.scenario import Scenario
from mplan.scenario.events import burns_of
from mplan.scenario.wording import plain
from mplan.vehicle import layout
from mplan.vehicle.ledger import main_engine, thrust

FRACTIONS = (0.05, 0.1, 0.2)  # of a stage's load, that it is lightened by
USUAL = 39.2  # m/s2, 4 g: an acceleration limit where none is stated (common practice, no source)


def stronger(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield more engines, stronger ones of the catalogue, and less to lift."""
    element, engine = finding.subject
    scenario = flight.scenario
    yield swaps.one_more(scenario, element, engine)
    now = thrust(scenario.elements[element].engines[engine])
    yield from swaps.others(
        scenario, element, engine, lambda new: thrust(new) > now, lambda new: thrust(new)
    )
    load = sum(layout.main_loads(scenario.elements[element]).values())
    for share in FRACTIONS[1:] if load else ():
        yield less_propellant(scenario, element, share * load)


def of_climb(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield what ends a finding on orbit, surplus, acceleration or dynamic pressure."""
    scenario = flight.scenario
    if finding.event == "acceleration":
        yield from _gentler(scenario)
    elif finding.event == "dynamic pressure":
        yield from _weaker(scenario)
    elif finding.event in scenario.elements:
        yield from _no_surplus(finding.event, flight)
    else:
        yield from stronger(finding, flight, trials)
        below = next(burns_of(scenario.events, "climb"))
        if below.element != finding.subject[0]:
            engine = main_engine(scenario.elements[below.element], below.engine)[0]
            first = replace(finding, subject=(below.element, engine))
            yield from stronger(first, flight, trials)
        yield from lighter(scenario)


def _gentler(scenario: Scenario) -> Iterator[Proposal]:
    if scenario.climb.acceleration_limit is None:
        said = f"engines throttled or shut down one by one at {USUAL} m/s2"
        yield Proposal(said, {"climb.acceleration_limit": f"{USUAL} m/s2"})
    yield from _weaker(scenario)


def _weaker(scenario: Scenario) -> Iterator[Proposal]:
    """Propose one engine fewer in each stage of the climb, and a longer rise before pitchover."""
    climbs = dict.fromkeys(x.element for x in burns_of(scenario.events, "climb"))
    for name in list(climbs)[:2]:
        key, engine = main_engine(scenario.elements[name])
        if engine.count > scenario.elements[name].bodies:
            yield swaps.one_more(scenario, name, key, -1)
        if engine.throttle_min is None:
            said = f"engines of the {plain(name)} that throttle to 60 %"
            yield Proposal(said, {f"elements.{name}.engines.{key}.throttle_min": "60 %"})
    longer = scenario.climb.vertical_rise_time + 6.0
    said = f"a vertical rise of {longer:.0f} s"
    yield Proposal(said, {"climb.vertical_rise_time": f"{longer} s"})


def _no_surplus(ends: str, flight: Flight) -> Iterator[Proposal]:
    """Propose to load the stage that ends the climb with as much less as it has left."""
    climb = existing(flight.climb, "a climb")
    left = next(part.left for part in climb.parts if part.name == ends)
    load = sum(layout.main_loads(flight.scenario.elements[ends]).values())
    for share in (1.05, 1.2):
        if share * left < load:
            yield less_propellant(flight.scenario, ends, share * left)
