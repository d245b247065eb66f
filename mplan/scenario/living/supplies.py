"""Crew supplies of an element, and storage for what the crew gives off."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Annotated, Literal, NamedTuple

from pydantic import Field

from mplan.physics.constants import DAY
from mplan.physics.living.chemistry import ABSORBED, CO2, UTILISATION
from mplan.scenario import quantities, raw
from mplan.scenario.living.cabin import Airlock, Cabin, CabinAir
from mplan.scenario.living.crew_day import MEAN, Metabolic
from mplan.scenario.quantities import Mass, MassFlow, MassOrNone, Quantity
from mplan.scenario.table import Count, Flag, Name, TomlTable, Whole
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import shown

Rated = Annotated[float, Quantity("time", at_least="1 min", at_most="100 d", example="36 h")]
FoodPart = Annotated[float, Quantity("fraction", at_least="0 %", below="50 %", example="15 %")]

AirFlow = Annotated[
    float,
    Quantity(
        "volume flow", at_least="0.1 m3/h", at_most="10000 m3/h", why="a fan", example="60 m3/h"
    ),
]
GasPressure = Annotated[
    float, Quantity("pressure", at_least="50 Pa", at_most="5 kPa", why="people", example="400 Pa")
]
Shared = Literal[
    "oxygen", "nitrogen", "potable_water", "hygiene_water", "packed_food", "co2_removal"
]
Dumped = Literal["urine_and_condensate", "faeces", "packaging"]
LeftBehind = Literal["urine_and_condensate", "faeces", "packaging", "canisters"]

# Pa: 3 mmHg, the mean of an hour that a cabin may have (NASA-STD-3001 volume 2, [V2 6004]; the
# figure from memory).
CO2_LIMIT = 400.0
PACKAGING, WATER_IN_FOOD = 0.15, 0.08  # of food as packed (common practice, from memory)


class LiohCanisters(TomlTable):
    """Canisters of lithium hydroxide, which take up carbon dioxide once."""

    count: Count = Field(description="How many are carried.", examples=[24])
    mass: Mass = Field(description="Of one, its shell included.", examples=["3 kg"])
    hydroxide: Mass | None = Field(None, description="Lithium hydroxide in one.", examples=["2 kg"])
    rated: Rated | None = Field(
        None,
        description="How long one takes up the carbon dioxide of one person: 36 h for one, "
        "12 h for three. Default: worked out from the hydroxide, 80 % of which is used (common "
        "practice, from memory).",
    )
    rated_at: Metabolic = Field(
        MEAN,
        description="Metabolic rate of that person; default: that of a mean day, 136.8 W.",
        examples=["152 W"],
    )

    @property
    def person_time(self) -> float:
        """How long one takes up the carbon dioxide of one person [s], at `rated_at`."""
        if self.rated is not None:
            return self.rated
        return UTILISATION * self.at_best / CO2 * DAY * MEAN / self.rated_at

    @cached_property
    def takes(self) -> float:
        """Carbon dioxide that one takes up [kg]."""
        return CO2 * self.person_time / DAY * self.rated_at / MEAN

    @property
    def at_best(self) -> float:
        """Carbon dioxide that the hydroxide of one can take up at best [kg]."""
        return ABSORBED * (self.hydroxide or self.mass)


class Co2Removal(TomlTable):
    """Equipment that removes carbon dioxide and is not used up; its mass is in the dry mass."""

    name: Name = Field(description="What it is.", examples=["amine swing bed"])
    crew: Count = Field(description="People whose carbon dioxide it removes.", examples=[3])
    keeps: Flag = Field(
        False, description="Whether the carbon dioxide stays aboard; default: it goes overboard."
    )


class FoodPacked(NamedTuple):
    """What packed food consists of [kg]."""

    dry: float
    water: float
    packaging: float


class Supplies(TomlTable):
    """What the crew uses up, and storage for what it gives off."""

    oxygen: MassOrNone = Field(0.0, description="Oxygen for breathing, leakage and the cabin.")
    nitrogen: MassOrNone = Field(0.0, description="Nitrogen for leakage and the cabin.")
    oxygen_leakage: MassFlow = Field(0.0, description="Oxygen that leaks out while in use.")
    nitrogen_leakage: MassFlow = Field(0.0, description="Nitrogen that leaks out while in use.")
    kept_pressurised: Flag = Field(
        False,
        description="Whether it leaks as long as it flies; default: while somebody is in it.",
    )
    repressurisations: Whole = Field(
        0,
        description="How often the cabin is filled again from the stores, walks on the surface "
        "apart; counted from its first use on, as no time is stated.",
        examples=[2],
    )
    cabin: Cabin | None = Field(
        None,
        description="Its air, of which a filling is worked out; in place of cabin_oxygen and "
        "cabin_nitrogen.",
    )
    airlock: Airlock | None = Field(
        None, description="Airlock for walks; default: the whole cabin is let out and filled."
    )
    cabin_oxygen: MassOrNone = Field(0.0, description="Oxygen of one filling of the cabin.")
    cabin_nitrogen: MassOrNone = Field(0.0, description="Nitrogen of one filling of the cabin.")
    potable_water: MassOrNone = Field(
        0.0,
        description="Water to drink, to prepare food and for cooling, without the "
        "water in packed food.",
    )
    potable_water_tank: MassOrNone | None = Field(
        None,
        description="Potable water that its tanks hold; of what fuel cells make, the rest goes "
        "overboard. Default: what is carried at lift-off.",
    )
    evaporative_cooling: Flag = Field(
        False,
        description="Whether potable water that evaporates carries off the heat of people and of "
        "the electric loads in it and in what serves it; default: radiators do.",
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
    air_flow: AirFlow | None = Field(
        None,
        description="Air through the canisters or the equipment, times the share of its carbon "
        "dioxide that they take; without it, or without cabin, the gas's partial pressure is not "
        "examined.",
    )
    co2_limit: GasPressure = Field(
        CO2_LIMIT,
        description="Partial pressure of carbon dioxide that people may live in. Default: 400 Pa, "
        "3 mmHg (NASA-STD-3001 volume 2, V2 6004, from memory).",
    )
    shared: tuple[Shared, ...] = Field(
        (),
        description="What people in another cabin of the same craft may live from too, once their "
        "own has run out; co2_removal: canisters that fit there. Default: nothing, also on a way "
        "out.",
        examples=[["oxygen", "potable_water"]],
    )
    urine_and_condensate_storage: MassOrNone = Field(
        0.0, description="Storage for urine, humidity condensate and used hygiene water."
    )
    faecal_storage: MassOrNone = Field(0.0, description="Storage for faeces.")
    dumped: tuple[Dumped, ...] = Field(
        (),
        description="Waste that goes overboard as it comes; default: all stays aboard.",
        examples=[["urine_and_condensate"]],
    )
    left_on_moon: tuple[LeftBehind, ...] = Field(
        (),
        description="Waste that is put out at the end of the stay on the Moon: used canisters are "
        "full ones.",
        examples=[["faeces", "packaging", "canisters"]],
    )

    @cached_property
    def filling(self) -> CabinAir:
        """One filling of the cabin [kg]."""
        if self.cabin is not None:
            return self.cabin.air()
        return CabinAir(self.cabin_oxygen, self.cabin_nitrogen)

    @cached_property
    def walk_loss(self) -> CabinAir:
        """CabinAir that is lost when the hatch is opened for a walk [kg]."""
        if self.airlock is None or self.cabin is None:
            return self.filling
        return self.cabin.air(self.airlock.volume).times(self.airlock.residue)

    @property
    def dry_food_share(self) -> float:
        """Dry food in a kilogram of packed food [kg/kg]."""
        return 1.0 - self.food_packaging - self.food_water

    def unpacked(self, packed: float) -> FoodPacked:
        """Return what a mass of packed food consists of [kg]."""
        water, packaging = self.food_water * packed, self.food_packaging * packed
        return FoodPacked(packed - water - packaging, water, packaging)

    @cached_property
    def mass(self) -> float:
        """Mass of all that is carried [kg]; storage is empty at lift-off."""
        canisters = self.lioh_canisters
        carried = self.oxygen + self.nitrogen + self.potable_water + self.hygiene_water
        return carried + self.packed_food + (canisters.count * canisters.mass if canisters else 0.0)


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield what does not fit together in supplies and walks."""
    for name, element in raw.elements(data).items():
        carried, here = raw.table(element, "supplies"), ("elements", name, "supplies")
        if "cabin" in carried:
            for key in {"cabin_oxygen", "cabin_nitrogen"} & set(carried):
                yield KeyProblem(
                    (*here, key), "given together with cabin; leave one of the two out"
                )
        if "airlock" in carried and "cabin" not in carried:
            text = "missing: an airlock has its pressure; accepted: its volume and pressure"
            yield KeyProblem((*here, "cabin"), text)
        canisters = raw.table(carried, "lioh_canisters")
        if canisters and not {"rated", "hydroxide"} & set(canisters):
            text = 'missing; accepted: a time, like "36 h", or hydroxide with the mass in one'
            yield KeyProblem((*here, "lioh_canisters", "rated"), text)
        yield from _sizes(here, carried)
    yield from _walkers(data)


def _sizes(here: tuple[str, ...], carried: raw.Data) -> Iterator[KeyProblem]:
    """Yield a tank below its load, and canisters lighter than the hydroxide in them."""
    for less, more, why in (
        ("potable_water_tank", "potable_water", "at least what is carried at lift-off"),
        ("lioh_canisters.mass", "lioh_canisters.hydroxide", "at least the hydroxide in it"),
    ):
        low, high = (quantities.read("mass", raw.value(carried, key)) for key in (less, more))
        if low is not None and high is not None and low < high:
            found = shown(raw.value(carried, less))
            yield KeyProblem((*here, *less.split(".")), f"found {found}; accepted: {why}")


def _walkers(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield walks of more people than land."""
    out, land = raw.value(data, "surface_walks.crew"), raw.value(data, "mission.landing_crew") or 0
    if isinstance(out, int) and isinstance(land, int) and out > land:
        text = f"found {out}, and mission.landing_crew is {land}; accepted: {land} at most"
        yield KeyProblem(("surface_walks", "crew"), text)
