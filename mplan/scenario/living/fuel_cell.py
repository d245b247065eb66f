"""Fuel cells: hydrogen and oxygen to electric energy and water."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from mplan.scenario.quantities import Power, Quantity
from mplan.scenario.table import Key, TomlTable

FARADAY = 96485.33  # C/mol, CODATA 2018
MOLAR_WATER, MOLAR_HYDROGEN = 18.015e-3, 2.016e-3  # kg/mol
CELL_VOLTAGE = 0.9  # V a cell under load (common practice, no source)
OF_HYDROGEN = MOLAR_HYDROGEN / MOLAR_WATER  # of the reactants; oxygen is eight times as much
REACTANTS = MOLAR_WATER / (2.0 * FARADAY * CELL_VOLTAGE)  # kg/J: 2 H2 + O2 -> 2 H2O, 2 F a mole

# At the thermodynamic limit of 1.23 V a cell it would be 0.273 kg/kWh: nothing does with less.
Reactants = Annotated[
    float,
    Quantity(
        "mass per energy",
        at_least="0.273 kg/kWh",
        at_most="2 kg/kWh",
        why="1.23 V a cell at best",
        example="0.38 kg/kWh",
    ),
]


class FuelCell(TomlTable):
    """Fuel cells that give the stored energy.

    What they use comes out again as water, into the potable water of the cabin that they serve.
    """

    hydrogen_tank: Key | None = Field(
        None,
        description="Tank of this element, with liquid hydrogen, that they draw from, and that "
        "boils off meanwhile; default: reactants of their own that do not.",
        examples=["cell_hydrogen"],
    )
    oxygen_tank: Key | None = Field(
        None, description="The same for liquid oxygen.", examples=["cell_oxygen"]
    )
    most: Power | None = Field(
        None, description="What they give at most; default: not stated, not checked."
    )
    reactants: Reactants = Field(
        REACTANTS,
        description="Hydrogen and oxygen, 1 to 8, used for the energy given: their mass comes on "
        "top of the dry mass, unless they come from tanks. Default: 0.373 kg/kWh, 0.9 V a cell "
        "(common practice, no source).",
    )

    @cached_property
    def from_tanks(self) -> Mapping[str, float]:
        """The tanks that they draw from, each with its share of the reactants; {} if none."""
        if self.hydrogen_tank is None or self.oxygen_tank is None:
            return MappingProxyType({})
        oxygen = 1.0 - OF_HYDROGEN
        return MappingProxyType({self.hydrogen_tank: OF_HYDROGEN, self.oxygen_tank: oxygen})
