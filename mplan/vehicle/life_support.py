"""What a person uses and gives off in a day, and how far an element's supplies go.

Rates of the Baseline Values and Assumptions Document of 2004, NASA/CR-2004-208941, per person and
day: what goes in (5.361 kg) is what comes out. Hygiene water is from memory of its successor.
Activity on the surface and a sick crew member take more; the margin for them is the planner's to
hold, and life support for people is settled by licensed practice, not by this table.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.physics.constants import DAY
from mplan.scenario.supplies import Supplies
from mplan.scenario.wording import plain

BVAD = "NASA/CR-2004-208941, rates per person and day"
MEMORY = "NASA/TP-2015-218570, rate per person and day, from memory"
STATED = "the scenario's leakage and cabin fillings"
RATED = "rating of the canisters in the scenario"

# Taken in, kg per person and day (BVAD).
OXYGEN, DRY_FOOD, WATER = 0.835, 0.617, 3.909  # water to drink, to prepare food and in it
# Given off, kg per person and day (BVAD).
CO2 = 0.998
URINE, URINE_SOLIDS = 1.886, 0.059
HUMIDITY, SWEAT_SOLIDS = 2.277, 0.018  # breath and sweat, condensed
FAECES = 0.032 + 0.091  # solids and their water
HYGIENE = 0.4  # kg per person and day, used and then stored; short missions (MEMORY)

# 2 LiOH + CO2 -> Li2CO3 + H2O, by molar masses.
ABSORBED = 0.919  # kg of CO2 a kilogram of hydroxide at best
REACTION_WATER = 0.409  # kg of water a kilogram of CO2: it leaves the canister as humidity

WASTES = ("urine_and_condensate", "faeces")


class Lived(NamedTuple):
    """Who lived in an element: person-seconds, seconds in use, most at a time, last aboard."""

    person_seconds: float
    seconds: float
    most: int
    last: int


class SupplyUse(NamedTuple):
    """One supply of an element: carried or storage, and what a mission uses of it, both [kg].

    `capacity` is None for equipment that is not used up. `days_left` at the end, for those who
    lived there last; None where nobody did. Carbon dioxide removal counts the gas taken up.
    """

    element: str
    supply: str
    capacity: float | None
    used: float
    days_left: float | None
    basis: str
    note: str = ""

    @property
    def label(self) -> str:
        """The supply as people say it."""
        return plain(self.supply).replace("co2", "CO2")

    @property
    def short(self) -> float:
        """What lacks [kg]: of a load, or of storage; 0 if it lasts."""
        return 0.0 if self.capacity is None else max(0.0, self.used - self.capacity)


class _Need(NamedTuple):
    """What is held, what a person and the element take of it in a day, what is taken once [kg]."""

    supply: str
    capacity: float | None
    person: float
    element: float = 0.0
    once: float = 0.0
    basis: str = BVAD
    note: str = ""


def uses(element: str, supplies: Supplies, lived: Lived) -> list[SupplyUse]:
    """Return what becomes of an element's supplies once people have lived in it."""
    return [_use(element, need, lived) for need in _needs(supplies)]


def _use(element: str, need: _Need, lived: Lived) -> SupplyUse:
    days = lived.seconds / DAY
    used = need.person * lived.person_seconds / DAY + need.element * days + need.once
    rate = need.person * lived.last + need.element
    left = None
    if need.capacity is not None and lived.last and rate > 0.0:
        left = (need.capacity - used) / rate
    return SupplyUse(element, need.supply, need.capacity, used, left, need.basis, need.note)


def _needs(carried: Supplies) -> Iterator[_Need]:
    """Yield every supply and every storage with its rates."""
    packed = DRY_FOOD / carried.dry_food_share
    fillings = carried.repressurisations
    yield _Need(
        "oxygen",
        carried.oxygen,
        OXYGEN,
        carried.oxygen_leakage * DAY,
        fillings * carried.cabin_oxygen,
    )
    leaked, filled = carried.nitrogen_leakage * DAY, fillings * carried.cabin_nitrogen
    yield _Need("nitrogen", carried.nitrogen, 0.0, leaked, filled, STATED)
    yield _Need("potable_water", carried.potable_water, WATER - carried.food_water * packed)
    yield _Need("hygiene_water", carried.hygiene_water, HYGIENE, basis=MEMORY)
    yield _Need("packed_food", carried.packed_food, packed)
    yield _co2(carried)
    yield _Need("urine_and_condensate", carried.urine_and_condensate_storage, wastewater(carried))
    yield _Need("faeces", carried.faecal_storage, FAECES)


def wastewater(carried: Supplies) -> float:
    """Return urine, humidity condensate and used hygiene water [kg per person and day]."""
    canisters = carried.co2_removal is None and carried.lioh_canisters is not None
    reaction = REACTION_WATER * CO2 if canisters else 0.0
    return URINE + URINE_SOLIDS + HUMIDITY + SWEAT_SOLIDS + HYGIENE + reaction


def _co2(carried: Supplies) -> _Need:
    """Return the removal of carbon dioxide: equipment, canisters, or none."""
    if carried.co2_removal is not None:
        return _Need("co2_removal", None, CO2, note=carried.co2_removal.name)
    if carried.lioh_canisters is None:
        return _Need("co2_removal", 0.0, CO2)
    count, rated = carried.lioh_canisters.count, carried.lioh_canisters.rated
    return _Need(
        "co2_removal", count * CO2 * rated / DAY, CO2, basis=RATED, note=f"{count} LiOH canisters"
    )
