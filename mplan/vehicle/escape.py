"""The escape tower with its crew module as one thing that flies, and what it flees from."""

from __future__ import annotations

from collections.abc import Iterable
from math import atan2, cos, pi

from mplan.physics.climb import blast
from mplan.physics.climb.escape import Tower
from mplan.scenario import Element, Scenario
from mplan.scenario.escape import Escape
from mplan.scenario.stated import stated
from mplan.vehicle import inertia, mass
from mplan.vehicle.ledger import Ledger, filled
from mplan.vehicle.stack import crew_module, crew_on_pad, with_role

# Fuels whose pairs with oxygen have TNT equivalents of their own.
FUELS = {"liquid hydrogen": "cold", "kerosene": "oil", "liquid methane": "methane"}


def motor(scenario: Scenario) -> tuple[str, Escape] | None:
    """Return the escape tower's name and its motor, if the stack has one that is described."""
    name = with_role(scenario, "escape tower")
    if name is None:
        return None
    escape = scenario.elements[name].escape
    return None if escape is None else (name, escape)


def stated_motor(scenario: Scenario) -> Escape:
    """Return the escape tower's motor; raise NotStated where the scenario describes none."""
    found = motor(scenario)
    return stated(None if found is None else found[1], "the motor of an escape tower")


def tower(scenario: Scenario) -> Tower | None:
    """Return tower and crew module, crew aboard, as they leave; None without a motor."""
    found = motor(scenario)
    home = with_role(scenario, "crew module")
    if found is None or home is None:
        return None
    name, escape = found
    crew = crew_on_pad(scenario)
    return Tower(
        mass.of((home, name), scenario, filled(scenario), crew, {}),
        escape.propellant,
        escape.thrust * cos(escape.cant),
        escape.side_thrust,
        escape.burn_time,
        escape.tail_off,
        escape.drag_coefficient * pi / 4.0 * scenario.elements[home].diameter ** 2,
    )


def lean(leaving: Tower) -> float:
    """Return by how much the thrust points aside of the tower's axis [rad]."""
    return atan2(leaving.side, leaving.thrust)


def explosive(scenario: Scenario, tanks: Ledger, elements: Iterable[str]) -> tuple[float, float]:
    """Return what the propellants in `elements` count as in TNT, and what they weigh [kg].

    Hydrogen counts with all oxygen of its element, kerosene and methane likewise; any other liquid
    pair as storable. Solid propellant burns, but does not count in the blast.
    """
    sums = dict.fromkeys((*FUELS.values(), "storable", "solid"), 0.0)
    for name in elements:
        element = scenario.elements[name]
        sums[_pair(element)] += tanks.propellant(name)
    tnt = blast.tnt_equivalent(sums["cold"], sums["oil"], sums["storable"], sums["methane"])
    return tnt, sum(sums.values())


def clear(scenario: Scenario, tanks: Ledger, elements: Iterable[str]) -> float:
    """Return how far [m] the crew module's middle stands above the middle of the propellants."""
    home = crew_module(scenario)
    lengths = inertia.lengths(scenario)
    feet, _ = inertia.stations(elements, scenario, lengths)
    middles = {name: foot + lengths[name] / 2.0 for name, foot in feet.items()}
    below = {name: tanks.propellant(name) for name in feet if name != home}
    whole = sum(below.values())
    if whole <= 0.0:
        return middles[home]
    return middles[home] - sum(middles[name] * kg for name, kg in below.items()) / whole


def _pair(element: Element) -> str:
    held = {tank.propellant for tank in element.tanks.values()}
    for fuel, pair in FUELS.items():
        if fuel in held:
            return pair
    return "solid" if held == {"solid propellant"} else "storable"
