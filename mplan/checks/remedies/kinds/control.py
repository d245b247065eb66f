"""What would give a craft the control authority it lacks: guidance, gimbals, thrusters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import floor

from mplan.checks import control
from mplan.checks.finding import Finding
from mplan.checks.phases import Phase, phases
from mplan.checks.remedies import weights
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import first, steps
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.physics.constants import DEG
from mplan.scenario import Scenario
from mplan.scenario.wording import plain
from mplan.vehicle.control.controller import ORDER
from mplan.vehicle.ledger import thrust

LARGEST_GIMBAL = 20.0  # deg, that a scenario may state
STRONGEST = 20.0  # times the thrust, that thrusters are tried at


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes that end a finding of too little control, the least of each kind."""
    if finding.basis == control.GIMBAL:
        element, engine = finding.subject
        yield from _stated(flight, element, engine)
        return
    phase = next(each for each in phases(flight) if each.name == finding.event)
    if phase.controller is None:
        yield from _guided(phase, flight)
        return
    yield from _gimballed(finding, phase, flight)
    yield from _thrusters(finding, phase, flight)


def _stated(flight: Flight, element: str, engine: str) -> Iterator[Proposal]:
    """Propose the least gimbal with which nothing lacks control; 0 deg where none is enough."""
    tried = [_gimbal(flight.scenario, element, engine, x) for x in steps(0.0, 0.5, LARGEST_GIMBAL)]
    for each in tried:
        again = replace(flight, scenario=each.of(flight.scenario))
        if not any(x.rank == 0 for x in control.findings(again)):
            yield each
            return
    yield tried[0]


def _guided(phase: Phase, flight: Flight) -> Iterator[Proposal]:
    """Propose guidance in the element that burns, else in the first by the order of roles."""
    scenario = flight.scenario
    burning = [x.element for x in flight.burns if x.name == phase.name]
    known = [name for name in phase.craft if scenario.elements[name].role in ORDER]
    ranked = sorted(known, key=lambda name: ORDER.index(scenario.elements[name].role))
    for name in dict.fromkeys([*burning, *ranked, *phase.craft][:2]):
        weight = weights.GUIDANCE.value
        values = {f"elements.{name}.active_guidance": True}
        said = f"active guidance in the {plain(name)}, {weight:.0f} kg"
        heavier = weights.heavier(scenario, name, weight)
        yield Proposal(said, {**values, **heavier}, f"mass: {weights.GUIDANCE.source}")


def _gimballed(finding: Finding, phase: Phase, flight: Flight) -> Iterator[Proposal]:
    """Propose the least gimbal, in half degrees, of the engine that burns."""
    burn = next((x for x in flight.burns if x.name == phase.name), None)
    if burn is None:
        return
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    if engine.purpose != "main" or engine.gimbal is None:
        return
    begin = floor(2.0 * engine.gimbal / DEG + 1e-9) / 2.0 + 0.5
    yield from _turned(finding, flight, burn.element, burn.engine, begin)


def _turned(
    finding: Finding, flight: Flight, element: str, engine: str, begin: float
) -> Iterator[Proposal]:
    tried = steps(begin, 0.5, LARGEST_GIMBAL)
    turned = (_gimbal(flight.scenario, element, engine, x) for x in tried)
    yield from first(finding, flight, control, turned)


def _gimbal(scenario: Scenario, element: str, name: str, degrees: float) -> Proposal:
    """Return a gimbal of an engine; one that is stated first is in the element's mass already."""
    engine = scenario.elements[element].engines[name]
    values = {f"elements.{element}.engines.{name}.gimbal": f"{degrees} deg"}
    said = f"a gimbal of {degrees:.1f} deg on the {plain(name)} engine of the {plain(element)}"
    if engine.gimbal is None:
        return Proposal(said, values)
    each = engine.mass or weights.ENGINE.value * thrust(engine) / engine.count
    share = weights.ACTUATORS.value * (degrees - engine.gimbal / DEG)
    weight = engine.count * each * share
    heavier = weights.heavier(scenario, element, weight)
    basis = f"mass: {weights.ACTUATORS.source}"
    return Proposal(f"{said}, {weight:.0f} kg heavier", {**values, **heavier}, basis)


def _thrusters(finding: Finding, phase: Phase, flight: Flight) -> Iterator[Proposal]:
    """Propose the least thrust, in tenths of today's, of the controller's thrusters or others'."""
    found = [
        (name, key)
        for name in filter(None, (phase.controller, *phase.craft))
        for key, engine in flight.scenario.elements[name].engines.items()
        if engine.purpose == "thrusters"
    ]
    for name, key in found[:1]:
        tried = (_stronger(flight.scenario, name, key, x) for x in steps(1.1, 0.1, STRONGEST))
        yield from first(finding, flight, control, tried)
    if not found:
        owner = phase.controller or phase.craft[0]
        yield from first(finding, flight, control, _new(flight.scenario, owner))


def _stronger(scenario: Scenario, name: str, key: str, times: float) -> Proposal:
    engine = scenario.elements[name].engines[key]
    force = times * engine.thrust_vacuum
    weight = (force - engine.thrust_vacuum) * engine.count * weights.THRUSTERS.value
    values = {f"elements.{name}.engines.{key}.thrust_vacuum": f"{force:.3f} N"}
    said = f"thrusters of {force:.0f} N on the {plain(name)}, {weight:.0f} kg heavier"
    heavier = weights.heavier(scenario, name, weight)
    return Proposal(said, {**values, **heavier}, f"mass: {weights.THRUSTERS.source}")


def _new(scenario: Scenario, name: str) -> Iterator[Proposal]:
    """Yield thrusters with a tank of their own on an element that has none, ever stronger."""
    if "thruster_fuel" in scenario.elements[name].tanks:
        return
    load = 100.0
    for force in (100.0, 200.0, 400.0, 800.0, 1600.0):
        engine = {
            "purpose": "thrusters",
            "count": 16,
            "thrust_vacuum": f"{force} N",
            "isp_vacuum": "220 s",
            "starts": 10000,
            "qualified_duration": "10000 s",
            "fuel": "thruster_fuel",
        }
        weight = 16.0 * force * weights.THRUSTERS.value + 0.1 * load
        values = {
            f"elements.{name}.tanks.thruster_fuel": {
                "propellant": "hydrazine",
                "load": f"{load} kg",
            },
            f"elements.{name}.engines.attitude_thrusters": engine,
        }
        said = f"16 thrusters of {force:.0f} N on the {plain(name)}, {weight:.0f} kg with their "
        said += f"tank, and {load:.0f} kg of hydrazine"
        heavier = weights.heavier(scenario, name, weight)
        yield Proposal(said, {**values, **heavier}, f"mass: {weights.THRUSTERS.source}")
