"""Freed keys set in a scenario, with what follows: tanks, lengths, what engines weigh."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from mplan.checks.remedies import swaps, weights
from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Scenario
from mplan.scenario.geometry import ULLAGE
from mplan.scenario.quantities import KINDS, parse
from mplan.studies.sizing.freed import PLAIN, Freed, Value
from mplan.studies.sizing.ranges import refuse
from mplan.vehicle import geometry, layout, resize, swap, tankage

# What others rest on comes first: an engine before how many, both before the tanks.
_ORDER = ("engine", "count", "tank", "length", "load")
BASIS = (
    f"tanks weigh what the room in them does ({weights.OTHER_TANK.source}), engines what they "
    f"state, else {weights.ENGINE.source}"
)


def laid(scenario: Scenario, freed: Mapping[Freed, Value]) -> Scenario:
    """Return the scenario with freed keys at their values, a number or an option's name.

    ScenarioError where it would not take them.
    """
    plain = {x: value for x, value in freed.items() if x.kind in PLAIN}
    if plain:  # in one, for a key may hold a limit of another one
        scenario = scenario.change({x.key: x.stated(value) for x, value in plain.items()})
    parts = [(x, value) for x, value in freed.items() if x not in plain]
    for each, value in sorted(parts, key=lambda pair: _ORDER.index(pair[0].kind)):
        scenario = scenario.change(_values(scenario, each, value))
    return scenario


def _values(scenario: Scenario, freed: Freed, value: Value) -> dict[str, Any]:
    """Return what a freed part of an element changes, by key of the scenario."""
    if freed.kind == "engine":
        option = next(each for each in freed.options if each.name == value)
        if option.listed is None:
            return {}
        mount = freed.element, freed.part
        return swap.changes(scenario, *mount, option.listed, option.count)
    if freed.kind == "count":
        return _counted(scenario, freed, int(value))
    number = float(value)
    element = scenario.elements[freed.element]
    if freed.kind == "tank":
        return _tank(element, freed, number)
    return _resized(element, freed, number)


def _counted(scenario: Scenario, freed: Freed, count: int) -> dict[str, Any]:
    now = scenario.elements[freed.element].engines[freed.part].count
    if count == now:
        return {}
    more, rest = divmod(count - now, scenario.elements[freed.element].bodies)
    if rest:
        refuse(freed.key, f"{count} engines are not as many on each body")
    return dict(swaps.one_more(scenario, freed.element, freed.part, more).values)


def _resized(element: Element, freed: Freed, number: float) -> dict[str, Any]:
    """Return an element's main loads, and its length, by the one or the other."""
    loads, name = layout.main_loads(element), freed.element
    if freed.kind == "load":
        factor = number * parse(f"1 {freed.unit}", "kg") / sum(loads.values())
    else:
        metres = number * parse(f"1 {freed.unit}", "m")
        found = resize.factor_for(element, metres)
        if not found:
            span = [resize.length_with(element, x) for x in (0.0, resize.MOST)]
            refuse(freed.key, f"no load gives {metres:.2f} m, but {span[0]:.2f} to {span[1]:.2f} m")
        factor = found
    if abs(factor - 1.0) < 1e-12:
        return {}
    more = {tank: load * (factor - 1.0) for tank, load in loads.items()}
    values = resize.changes(element, name, factor) | _weighed(element, name, more)
    return {key: _tidy(value) for key, value in values.items()}


def _tidy(quantity: str) -> str:
    """Return a quantity to nine digits: a tenth of a gram of a hundred tonnes."""
    number, unit = quantity.split(" ")
    return f"{float(number):.9g} {unit}"


def _tank(element: Element, freed: Freed, number: float) -> dict[str, Any]:
    """Return the load of one tank, what the tank then weighs, and its length where it is stated."""
    name, tank = freed.element, element.tanks[freed.part]
    more = number * parse(f"1 {freed.unit}", KINDS["mass"].si) - tank.load
    if not more:
        return {}
    values: dict[str, Any] = {freed.key: f"{number:.12g} {freed.unit}"}
    if element.build is None and freed.part in layout.main_loads(element):
        room = tankage.room(more, PROPELLANTS[tank.propellant].density, ULLAGE)
        length = geometry.length(element) + room / tankage.area(element.diameter)
        values[f"elements.{name}.length"] = f"{length:.12g} m"
    return values | _weighed(element, name, {freed.part: more})


def _weighed(element: Element, name: str, more: Mapping[str, float]) -> dict[str, str]:
    dry = element.dry_mass + weights.tanks(element, more)
    return {f"elements.{name}.dry_mass": f"{dry:.9g} kg"}
