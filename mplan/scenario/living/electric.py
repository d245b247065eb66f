"""Electric power of an element: what it stores, gets and uses."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from math import inf
from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario import raw
from mplan.scenario.living.fuel_cell import FuelCell
from mplan.scenario.quantities import Energy, Power, Quantity, Share
from mplan.scenario.table import Flag, TomlTable
from mplan.scenario.thruster_budget import PhaseName
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, shown

SpecificEnergy = Annotated[
    float,
    Quantity("energy per mass", at_least="20 Wh/kg", at_most="3500 Wh/kg", example="120 Wh/kg"),
]
LoadPhase = Literal[PhaseName, "on the Moon"]

USABLE, EFFICIENCY = 0.8, 0.95  # of lithium-ion batteries (common practice, no source)


class SolarArrays(TomlTable):
    """Panels: they give by the share of the Sun's disc that is seen, and by its distance."""

    power: Power = Field(
        description="What they give facing the Sun at 1 au, as they are at the mission's end.",
        examples=["1.5 kW"],
    )
    pointing: Share = Field(
        1.0,
        description="Mean cosine of the angle between the Sun and the panels' normal, by the "
        "attitude that is flown. Default: they face it.",
        examples=["90 %"],
    )
    pointing_on_moon: Share | None = Field(
        None, description="The same on the Moon, while the Sun is up; default: as elsewhere."
    )


class Battery(TomlTable):
    """Batteries: how much of what they store may be used, and how fast they take and give it."""

    usable_depth: Share = Field(
        USABLE,
        description="Share of the stored energy that may be used before they are charged again. "
        "Default: 80 % (common practice, no source).",
        examples=["80 %"],
    )
    charge_limit: Power = Field(
        0.0,
        description="What they are charged with at most; default: they are not.",
        examples=["1.2 kW"],
    )
    discharge_limit: Power | None = Field(
        None, description="What they give at most; default: not stated, not checked."
    )
    efficiency: Share = Field(
        EFFICIENCY,
        description="Share of the energy put in that is stored. Default: 95 % (common practice, "
        "no source).",
    )


class ElementPower(TomlTable):
    """Electric power of an element."""

    stored_energy: Energy = Field(description="Energy in batteries or reactants at lift-off.")
    supply: Power = Field(description="Steady supply, from panels or the like; may be zero.")
    load: Power = Field(description="Mean load while in use.")
    loads: dict[LoadPhase, Power] = Field(
        {},
        description="Mean load while in use, of phases in which it is another one.",
        examples=[{"descent": "1.6 kW", "on the Moon": "0.8 kW"}],
    )
    standby_load: Power = Field(
        0.0,
        description="Mean load while it flies and nobody uses it, heaters included: on the way, or "
        "while its ship waits for its crew; default: none.",
        examples=["150 W"],
    )
    specific_energy: SpecificEnergy | None = Field(
        None,
        description="Energy that a kilogram of its batteries, or of reactants and their tanks, "
        "stores; told in remedies that store more. Default: 120 Wh/kg, lithium-ion batteries "
        "(common practice, no source).",
    )
    solar: Flag = Field(
        False,
        description="Whether the supply comes from panels, which give none in the Moon's shadow.",
    )
    arrays: SolarArrays | None = Field(
        None, description="Panels whose power follows the Sun, beside the steady supply."
    )
    battery: Battery | None = Field(
        None,
        description="Batteries that give the stored energy and may be charged again; default: what "
        "is stored may all be used once.",
    )
    fuel_cell: FuelCell | None = Field(
        None,
        description="Fuel cells that give the stored energy; default: batteries, or reactants "
        "whose mass and water are not counted.",
    )

    @cached_property
    def reactants(self) -> float:
        """Mass of the fuel cells' reactants at lift-off [kg], beside dry mass and tanks."""
        cells = self.fuel_cell
        return self.stored_energy * cells.reactants if cells and not cells.from_tanks else 0.0

    @cached_property
    def most(self) -> float:
        """What its store gives at most [W]."""
        gives = self.battery.discharge_limit if self.battery else None
        gives = self.fuel_cell.most if self.fuel_cell else gives
        return inf if gives is None else gives

    def load_in(self, phase: str, *, standby: bool = False) -> float:
        """Return its load [W] in a phase."""
        if standby:
            return self.standby_load
        return self.loads.get(phase, self.load)  # type: ignore[call-overload]


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield stores that are two things at once, and fuel cells' tanks that are not there."""
    for name, element in raw.elements(data).items():
        power, here = raw.table(element, "power"), ("elements", name, "power")
        cells = raw.table(power, "fuel_cell")
        if "battery" in power and "fuel_cell" in power:
            yield KeyProblem((*here, "battery"), "given together with fuel_cell; one store each")
        yield from _tanks(here, cells, raw.table(element, "tanks"))


def _tanks(here: tuple[str, ...], cells: raw.Data, tanks: raw.Data) -> Iterator[KeyProblem]:
    """Yield a tank of fuel cells that the element has not, or that holds something else."""
    for key, other, fluid in (
        ("hydrogen_tank", "oxygen_tank", "liquid hydrogen"),
        ("oxygen_tank", "hydrogen_tank", "liquid oxygen"),
    ):
        path = (*here, "fuel_cell", key)
        if key not in cells:
            if other in cells:
                yield KeyProblem(path, f"missing, as {other} is given; accepted: a tank by name")
            continue
        found = raw.value(tanks, f"{cells[key]}.propellant")
        if found != fluid:
            fits = [x for x in tanks if raw.value(tanks, f"{x}.propellant") == fluid]
            text = f"found {shown(cells[key])}; accepted: a tank of this element with {fluid}"
            yield KeyProblem(path, text + (f": {choices(fits)}" if fits else ", and it has none"))
