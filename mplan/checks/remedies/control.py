"""What would give a craft the control authority it lacks: guidance, gimbals, thrusters."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from math import floor

from mplan.checks import control
from mplan.checks.finding import Finding
from mplan.checks.phases import Phase, phases
from mplan.flight.record import Flight
from mplan.physics.constants import DEG
from mplan.scenario import Scenario
from mplan.scenario.wording import plain
from mplan.vehicle.control.controller import ORDER

Try = tuple[str, Scenario]

LARGEST_GIMBAL = 20.0  # deg, that a scenario may state
STRONGEST = 20.0  # times the thrust, that thrusters are tried at


def proposals(finding: Finding, flight: Flight) -> Iterator[Try]:
    """Yield changes that end a finding of too little control, the least of each kind."""
    phase = next(each for each in phases(flight) if each.name == finding.event)
    if phase.controller is None:
        yield from _guided(phase, flight)
        return
    yield from _gimballed(finding, phase, flight)
    yield from _thrusters(finding, phase, flight)


def _guided(phase: Phase, flight: Flight) -> Iterator[Try]:
    """Propose guidance in the element that burns, else in the first by the order of roles."""
    scenario = flight.scenario
    burning = [x.element for x in flight.burns if x.name == phase.name]
    known = [name for name in phase.craft if scenario.elements[name].role in ORDER]
    ranked = sorted(known, key=lambda name: ORDER.index(scenario.elements[name].role))
    for name in [*burning, *ranked][:1]:
        change = scenario.change(f"elements.{name}.active_guidance", True)
        yield f"active guidance in the {plain(name)}, as heavy as before", change


def _gimballed(finding: Finding, phase: Phase, flight: Flight) -> Iterator[Try]:
    """Propose the least gimbal, in half degrees, of the engine that burns."""
    burn = next((x for x in flight.burns if x.name == phase.name), None)
    if burn is None:
        return
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    if engine.purpose != "main" or engine.gimbal is None:
        return
    key = f"elements.{burn.element}.engines.{burn.engine}.gimbal"
    first = floor(2.0 * engine.gimbal / DEG + 1e-9) / 2.0 + 0.5
    name = f"the {plain(burn.engine)} engine of the {plain(burn.element)}"
    yield from _least(
        finding,
        flight,
        _from(first, 0.5, LARGEST_GIMBAL),
        lambda x: (key, f"{x} deg"),
        lambda x: f"a gimbal of {x:.1f} deg on {name}",
    )


def _thrusters(finding: Finding, phase: Phase, flight: Flight) -> Iterator[Try]:
    """Propose the least thrust, in tenths of today's, of the controller's thrusters or others'."""
    found = [
        (name, key, engine.thrust_vacuum)
        for name in filter(None, (phase.controller, *phase.craft))
        for key, engine in flight.scenario.elements[name].engines.items()
        if engine.purpose == "thrusters"
    ]
    for name, key, now in found[:1]:
        yield from _least(
            finding,
            flight,
            _from(1.1, 0.1, STRONGEST),
            partial(_thrust, f"elements.{name}.engines.{key}.thrust_vacuum", now),
            partial(_stronger, name, now),
        )


def _thrust(key: str, now: float, times: float) -> tuple[str, str]:
    return key, f"{times * now:.3f} N"


def _stronger(name: str, now: float, times: float) -> str:
    return f"thrusters of {times * now:.0f} N on the {plain(name)}, as heavy as before"


def _least(
    finding: Finding,
    flight: Flight,
    steps: list[float],
    change: Callable[[float], tuple[str, str]],
    said: Callable[[float], str],
) -> Iterator[Try]:
    """Yield the first step that ends the finding, the flight otherwise staying as it is."""
    for step in steps:
        changed = flight.scenario.change(*change(step))
        if not _told(finding, replace(flight, scenario=changed)):
            yield said(step), changed
            return


def _told(finding: Finding, flight: Flight) -> bool:
    """Tell whether anything still stops the flight in the same way."""
    return any(
        each.rank == 0 and each.event == finding.event and each.text == finding.text
        for each in control.findings(flight)
    )


def _from(first: float, step: float, last: float) -> list[float]:
    return [first + i * step for i in range(int((last - first) / step + 1e-9) + 1)]
