"""What would make tanks, engines and houses fit: more room, by as much as lacks."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks import fit as check
from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import first, steps
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import Scenario, ScenarioError
from mplan.scenario.quantities import text
from mplan.scenario.wording import plain
from mplan.vehicle import geometry, layout, resize

WIDER = steps(1.02, 0.02, 2.0)  # of a width or a load
UNWEIGHED = "mass of the structure: not counted"


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield the least change of each kind that leaves room for what is there."""
    scenario, name = flight.scenario, finding.event
    ways = [[_across(scenario, name, x) for x in WIDER]]
    build = scenario.elements[name].build
    if build is not None:
        ways += [[_tanks(scenario, name, x) for x in (*steps(0.98, -0.02, 0.4),)]]
        ways += [[_skirt(scenario, name, x) for x in WIDER]]
        ways += [[_nested(scenario, name, x) for x in steps(0.95, -0.05, 0.0)]]
        if layout.main_loads(scenario.elements[name]):
            ways += [[_filled(scenario, name, x) for x in WIDER]]
    else:
        ways += [[_longer(scenario, name, x) for x in WIDER]]
    house = scenario.elements[name].inside
    if house is not None and scenario.elements[house].build is None:
        longer = (_longer(scenario, house, x) for x in WIDER)
        ways += [[x for x in longer if _adds_none(scenario, x)]]
    ways += [[_house(scenario, name, x) for x in steps(1.01, 0.01, 2.0)]]
    below = _below(scenario, name)
    if below is not None:
        ways += [[_clear(scenario, below, x) for x in steps(0.1, 0.1, 4.0)]]
    for way in ways:
        yield from first(finding, flight, check, filter(None, way))


def _across(scenario: Scenario, name: str, times: float) -> Proposal | None:
    width = times * scenario.elements[name].diameter
    said = f"the {plain(name)} {width:.2f} m wide"
    return Proposal(said, {f"elements.{name}.diameter": text(width, "m")}, UNWEIGHED)


def _longer(scenario: Scenario, name: str, times: float) -> Proposal:
    length = times * geometry.length(scenario.elements[name])
    said = f"the {plain(name)} {length:.2f} m long"
    return Proposal(said, {f"elements.{name}.length": text(length, "m")}, UNWEIGHED)


def _adds_none(scenario: Scenario, proposal: Proposal) -> bool:
    """Tell whether a change brings no misfit that was not there: nozzles above need room too."""
    try:
        after = proposal.of(scenario)
    except ScenarioError:
        return False
    return {x.text for x in check.of(after)} <= {x.text for x in check.of(scenario)}


def _tanks(scenario: Scenario, name: str, times: float) -> Proposal | None:
    build = scenario.elements[name].build
    if build is None:
        return None
    width = times * (build.diameter or scenario.elements[name].diameter)
    said = f"tanks of the {plain(name)} {width:.2f} m across"
    return Proposal(said, {f"elements.{name}.build.diameter": text(width, "m")}, UNWEIGHED)


def _skirt(scenario: Scenario, name: str, times: float) -> Proposal | None:
    build = scenario.elements[name].build
    if build is None:
        return None
    width = times * (build.skirt_diameter or scenario.elements[name].diameter)
    said = f"a skirt of {width:.2f} m on the {plain(name)}"
    return Proposal(said, {f"elements.{name}.build.skirt_diameter": text(width, "m")}, UNWEIGHED)


def _nested(scenario: Scenario, name: str, times: float) -> Proposal | None:
    build = scenario.elements[name].build
    if build is None or not build.nested:
        return None
    hangs = times * build.nested
    said = f"nozzles of the {plain(name)} that hang {hangs:.2f} m below it"
    return Proposal(said, {f"elements.{name}.build.nested": text(hangs, "m")}, UNWEIGHED)


def _filled(scenario: Scenario, name: str, times: float) -> Proposal | None:
    values = resize.changes(scenario.elements[name], name, times)
    return Proposal(f"{(times - 1.0) * 100.0:.0f} % more propellant in the {plain(name)}", values)


def _house(scenario: Scenario, name: str, times: float) -> Proposal | None:
    house = scenario.elements[name].inside
    if house is None:
        return None
    around = scenario.elements[house]
    values = {f"elements.{house}.diameter": text(times * around.diameter, "m")}
    if around.build is None:
        values[f"elements.{house}.length"] = text(times * geometry.length(around), "m")
    return Proposal(f"the {plain(house)} {(times - 1.0) * 100.0:.0f} % larger", values, UNWEIGHED)


def _below(scenario: Scenario, name: str) -> str | None:
    """Return the element that stands under one, if it is laid out from its tanks."""
    carrying = [x.name for x in geometry.standing(scenario) if x.carries]
    if name not in carrying or carrying.index(name) == 0:
        return None
    below = carrying[carrying.index(name) - 1]
    return below if scenario.elements[below].build else None


def _clear(scenario: Scenario, below: str, metres: float) -> Proposal | None:
    build = scenario.elements[below].build
    if build is None:
        return None
    top = build.top + metres
    said = f"{metres:.1f} m more between the tank of the {plain(below)} and its upper end"
    return Proposal(said, {f"elements.{below}.build.top": text(top, "m")}, UNWEIGHED)
