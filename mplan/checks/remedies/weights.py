"""What more of something weighs with what holds it, and the dry mass that grows by it.

Figures for planning; a scenario's own (canisters, specific energy, engines' masses) come first.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Scenario
from mplan.scenario.geometry import ULLAGE
from mplan.scenario.quantities import text
from mplan.vehicle import tankage


class Specific(NamedTuple):
    """A specific mass, in the unit that its name here says, and where it comes from."""

    value: float
    source: str


_BVAD = "NASA/CR-2004-208941, from memory"
_AKIN = "D. L. Akin, Mass Estimating Relations, ENAE 791, University of Maryland 2016"
_PRACTICE = "common practice, no source"

# Tanks for main propellants: kg a cubic metre held, by regression of built ones.
HYDROGEN_TANK = Specific(9.09, _AKIN)
OTHER_TANK = Specific(12.16, _AKIN)
# Containers of stores: kg a kilogram held.
STORES = {
    "oxygen": Specific(0.364, f"high-pressure tank, {_BVAD}"),
    "nitrogen": Specific(0.556, f"high-pressure tank, {_BVAD}"),
    "potable_water": Specific(0.1, f"tank, {_PRACTICE}"),
    "hygiene_water": Specific(0.1, f"tank, {_PRACTICE}"),
    "packed_food": Specific(0.0, "packaging is part of packed food"),
    "urine_and_condensate_storage": Specific(0.1, f"empty tank, {_PRACTICE}"),
    "faecal_storage": Specific(0.5, f"empty bags and canister, {_PRACTICE}"),
}
BATTERIES = Specific(4.32e5, f"lithium-ion batteries, 120 Wh/kg ({_PRACTICE})")  # J/kg
CANISTER = Specific(1.75, _BVAD)  # kg of LiOH canister a kilogram of carbon dioxide
REMOVAL = Specific(45.0, f"two-bed equipment for one person, {_PRACTICE}")  # kg a person
RADIATORS = Specific(8.5, f"deployed panels with their loop, {_PRACTICE}")  # kg a square metre
THRUSTERS = Specific(0.004, f"small storable thrusters, {_PRACTICE}")  # kg a newton
ACTUATORS = Specific(0.01, f"of the engine's mass a degree of gimbal more, {_PRACTICE}")
ENGINE = Specific(1.0 / (60.0 * 9.80665), f"thrust-to-weight 60, {_PRACTICE}")  # kg a newton
GUIDANCE = Specific(100.0, f"computers, inertial unit, power for them, {_PRACTICE}")  # kg
CANOPY = Specific(0.12, f"canopy, lines and bag, {_PRACTICE}")  # kg a square metre
MOTOR = Specific(0.25, f"motor case and nozzles, {_PRACTICE}")  # kg a kilogram of its propellant


def heavier(scenario: Scenario, element: str, kilograms: float) -> dict[str, str]:
    """Return the change of an element's dry mass by so many kilograms, by key."""
    dry = scenario.elements[element].dry_mass + kilograms
    return {f"elements.{element}.dry_mass": text(dry, "kg")}


def tanks(element: Element, more: Mapping[str, float]) -> float:
    """Return what tanks weigh [kg] that hold so much more [kg], by tank."""
    return sum(_tank(element.tanks[name].propellant, kilograms) for name, kilograms in more.items())


def _tank(propellant: str, kilograms: float) -> float:
    each = HYDROGEN_TANK if propellant == "liquid hydrogen" else OTHER_TANK
    return each.value * tankage.room(kilograms, PROPELLANTS[propellant].density, ULLAGE)
