"""What a person uses up and makes in a day, and how far an element's supplies go.

Rates of the Baseline Values and Assumptions Document, NASA/CR-2004-208941 (2004), per crew
member and day: what goes in (5.361 kg) is what comes out. Activity on the surface, a sick
crew member and leaks take more; the margin for them is the planner's to hold, and life support
for people is settled by licensed practice, not by this table.
"""

from __future__ import annotations

from typing import NamedTuple

from mplan.physics.constants import DAY
from mplan.scenario import Supplies

OXYGEN = 0.835  # kg per person and day
FOOD = 0.617  # kg, dry
WATER = 3.909  # kg, to drink, to prepare food and in it
CO2 = 0.998  # kg
WASTE_WATER = 1.886 + 2.277  # kg, urine; breath and sweat
WASTE_SOLIDS = 0.032 + 0.018 + 0.059 + 0.091  # kg, faeces and their water, sweat and urine solids

# 2 LiOH + CO2 -> Li2CO3 + H2O: 0.919 kg of CO2 a kilogram at best.
ABSORBED = 0.919
UTILISATION = 0.80  # of a canister before CO2 breaks through (common practice, no source)

RATES = {
    "oxygen": OXYGEN,
    "food": FOOD,
    "water": WATER,
    "co2_absorber": CO2 / (ABSORBED * UTILISATION),
    "waste_water": WASTE_WATER,
    "waste_solids": WASTE_SOLIDS,
}
WASTES = ("waste_water", "waste_solids")


class SupplyUse(NamedTuple):
    """One supply of an element: room or load, and what a mission uses of it, both [kg].

    `days_left` at the end, for those who lived there last; None where nobody did.
    """

    element: str
    supply: str
    capacity: float
    used: float
    days_left: float | None


def uses(element: str, supplies: Supplies, person_seconds: float, crew: int) -> list[SupplyUse]:
    """Return what becomes of an element's supplies after `person_seconds` aboard."""
    days = person_seconds / DAY
    found = []
    for supply, rate in RATES.items():
        capacity, used = getattr(supplies, supply), rate * days
        left = (capacity - used) / (rate * crew) if crew else None
        found.append(SupplyUse(element, supply, capacity, used, left))
    return found
