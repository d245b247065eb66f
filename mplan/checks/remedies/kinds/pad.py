"""What would bring a stack within the limits of its launch site."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from mplan.checks.finding import Finding
from mplan.checks.remedies import swaps
from mplan.checks.remedies.kinds.delta_v import less_propellant, lighter
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import rounded_up
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import Element, Scenario, ScenarioError
from mplan.scenario.quantities import text
from mplan.scenario.wording import plain
from mplan.vehicle import geometry, layout, pad, resize
from mplan.vehicle.geometry import Standing

HEIGHTS = ("door_height", "hook_height", "umbilical_reach")  # a shorter stage comes below them


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes that end the excess over one limit of the site."""
    scenario, key = flight.scenario, finding.subject[0]
    over = next(each.over for each in pad.limits(scenario) if each.key == key)
    if key in HEIGHTS:
        yield from _shorter(scenario, rounded_up(over, 0.01))
    elif key == "platform_load":
        yield from _emptier(scenario, over)
        yield from lighter(scenario)
    elif key == "deflector_thrust":
        yield from _fewer(scenario)
    else:
        yield from _narrower(scenario, key)


def _standing(scenario: Scenario) -> Iterator[tuple[str, Element]]:
    """Yield the stages that stand in the open and hold propellant, from the pad up."""
    for name in scenario.stack:
        element = scenario.elements[name]
        if not (element.inside or element.beside) and layout.main_loads(element):
            yield name, element


def _shorter(scenario: Scenario, metres: float) -> Iterator[Proposal]:
    for name, _ in _standing(scenario):
        try:
            values = resize.shortening(scenario, name, metres)
        except ScenarioError:
            continue  # it has not that much propellant to give up
        yield Proposal(f"{plain(name)} {metres:.2f} m shorter", values)


def _emptier(scenario: Scenario, over: float) -> Iterator[Proposal]:
    """Propose less propellant in one stage."""
    kilograms = rounded_up(over, 10.0)
    for name, element in _standing(scenario):
        if sum(layout.main_loads(element).values()) > 2.0 * kilograms:
            yield less_propellant(scenario, name, kilograms)


def _fewer(scenario: Scenario) -> Iterator[Proposal]:
    """Propose one engine fewer in each element that burns at lift-off."""
    for event in scenario.events:
        if event.do == "burn":
            for name in (event.element, *event.beside):
                for key, engine in scenario.elements[name].engines.items():
                    if engine.purpose == "main" and engine.count > scenario.elements[name].bodies:
                        yield swaps.one_more(scenario, name, key, -1)
            return


def _narrower(scenario: Scenario, key: str) -> Iterator[Proposal]:
    """Propose elements as narrow as the limit lets them be, as much longer as they must."""
    limit = next(x.limit for x in pad.limits(scenario) if x.key == key) or 0.0
    stack = geometry.standing(scenario)
    wide = [x for x in stack if _reaches(x) > limit]
    if key == "foot_width":
        lowest = min(x.bottom for x in stack)
        wide = [x for x in wide if x.bottom == lowest and x.element.inside is None]
    values: dict[str, str] = {}
    for each in wide:
        room = limit - 2.0 * max(each.axes)
        values |= _within(each, room)
    if values:
        names = " and ".join(plain(x.name) for x in wide)
        yield Proposal(f"{names} within {limit:.2f} m of width, as much longer", values)


def _reaches(each: Standing) -> float:
    return 2.0 * max(each.axes) + max(each.element.diameter, geometry.foot(each.element))


def _within(each: Standing, room: float) -> dict[str, str]:
    """Return keys that bring an element and its foot within a width [m]; none if nothing does."""
    element, key = each.element, f"elements.{each.name}"
    values = {}
    build = element.build
    if build and (build.base_span or 0.0) > room:
        values[f"{key}.build.base_span"] = text(room, "m")
    if build and (build.skirt_diameter or 0.0) > room:
        values[f"{key}.build.skirt_diameter"] = text(room, "m")
    if element.diameter <= room or room <= 0.0:
        return values
    values[f"{key}.diameter"] = text(room, "m")
    if element.top_diameter is not None and element.top_diameter > room:
        values[f"{key}.top_diameter"] = text(room, "m")
    if build is not None and build.diameter is not None:
        values[f"{key}.build.diameter"] = text(build.diameter * room / element.diameter, "m")
    if build is None:
        values[f"{key}.length"] = text(_long(each, room), "m")
    return values


def _long(each: Standing, room: float) -> float:
    """Return the length [m] of an element as narrow as `room` whose cylinder holds as much."""
    element, loads = each.element, layout.main_loads(each.element)
    volume = pi / 4.0 * element.diameter**2 * each.layout.length
    if loads:
        volume = resize.length_per_kilogram(element) * sum(loads.values()) * pi / 4.0
        volume *= element.diameter**2
    more = volume / (pi / 4.0) * (1.0 / room**2 - 1.0 / element.diameter**2)
    return each.layout.length + more
