"""Crew supplies of an element, and storage for what the crew gives off."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from mplan.scenario.quantities import Mass, MassFlow, MassOrNone, Quantity
from mplan.scenario.table import Count, Name, TomlTable, Whole

Rated = Annotated[float, Quantity("time", at_least="1 min", at_most="100 d", example="36 h")]
FoodPart = Annotated[float, Quantity("fraction", at_least="0 %", below="50 %", example="15 %")]

PACKAGING, WATER_IN_FOOD = 0.15, 0.08  # of food as packed (common practice, from memory)


class LiohCanisters(TomlTable):
    """Canisters of lithium hydroxide, which take up carbon dioxide once."""

    count: Count = Field(description="How many are carried.", examples=[24])
    mass: Mass = Field(description="Of one, its shell included.", examples=["3 kg"])
    rated: Rated = Field(
        description="How long one takes up the carbon dioxide of one person: 36 h for one, "
        "12 h for three."
    )


class Co2Removal(TomlTable):
    """Equipment that removes carbon dioxide and is not used up; its mass is in the dry mass."""

    name: Name = Field(description="What it is.", examples=["amine swing bed"])
    crew: Count = Field(description="People whose carbon dioxide it removes.", examples=[3])


class Supplies(TomlTable):
    """What the crew uses up, and storage for what it gives off."""

    oxygen: MassOrNone = Field(0.0, description="Oxygen for breathing, leakage and the cabin.")
    nitrogen: MassOrNone = Field(0.0, description="Nitrogen for leakage and the cabin.")
    oxygen_leakage: MassFlow = Field(0.0, description="Oxygen that leaks out while in use.")
    nitrogen_leakage: MassFlow = Field(0.0, description="Nitrogen that leaks out while in use.")
    repressurisations: Whole = Field(
        0, description="How often the cabin is filled again from the stores.", examples=[2]
    )
    cabin_oxygen: MassOrNone = Field(0.0, description="Oxygen of one filling of the cabin.")
    cabin_nitrogen: MassOrNone = Field(0.0, description="Nitrogen of one filling of the cabin.")
    potable_water: MassOrNone = Field(
        0.0, description="Water to drink and to prepare food, without the water in packed food."
    )
    hygiene_water: MassOrNone = Field(0.0, description="Water to wash with.")
    packed_food: MassOrNone = Field(
        0.0, description="Food as packed: dry food, the water in it, and its packaging."
    )
    food_packaging: FoodPart = Field(
        PACKAGING,
        description="Share of packed food that is packaging; default: 15 % (common practice, from "
        "memory).",
    )
    food_water: FoodPart = Field(
        WATER_IN_FOOD,
        description="Share of packed food that is water in the food; default: 8 % (common "
        "practice, from memory).",
    )
    lioh_canisters: LiohCanisters | None = Field(
        None, description="Canisters of lithium hydroxide; spare where co2_removal is stated."
    )
    co2_removal: Co2Removal | None = Field(
        None, description="Other removal of carbon dioxide, in place of canisters."
    )
    urine_and_condensate_storage: MassOrNone = Field(
        0.0, description="Storage for urine, humidity condensate and used hygiene water."
    )
    faecal_storage: MassOrNone = Field(0.0, description="Storage for faeces.")

    @property
    def dry_food_share(self) -> float:
        """Dry food in a kilogram of packed food [kg/kg]."""
        return 1.0 - self.food_packaging - self.food_water

    @property
    def mass(self) -> float:
        """Mass of all that is carried [kg]; storage is empty at lift-off."""
        canisters = self.lioh_canisters
        carried = self.oxygen + self.nitrogen + self.potable_water + self.hygiene_water
        return carried + self.packed_food + (canisters.count * canisters.mass if canisters else 0.0)
