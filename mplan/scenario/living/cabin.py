"""The air of a cabin or airlock, by the ideal-gas law."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from pydantic import Field

from mplan.scenario.quantities import Quantity, Share
from mplan.scenario.table import TomlTable

GAS_CONSTANT = 8.31446  # J/(mol K), CODATA 2018
MOLAR_OXYGEN, MOLAR_NITROGEN = 31.998e-3, 28.014e-3  # kg/mol, IUPAC

Volume = Annotated[
    float,
    Quantity("volume", at_least="0.1 m3", at_most="2000 m3", why="a cabin", example="6.5 m3"),
]
CabinPressure = Annotated[
    float,
    Quantity("pressure", at_least="20 kPa", at_most="110 kPa", why="breathing", example="34 kPa"),
]
PURE_OXYGEN, ROOM_TEMPERATURE = 1.0, 295.0  # common practice, no source


class CabinAir(NamedTuple):
    """Oxygen and nitrogen [kg]."""

    oxygen: float = 0.0
    nitrogen: float = 0.0

    def times(self, factor: float) -> CabinAir:
        """Return so many times as much."""
        return CabinAir(self.oxygen * factor, self.nitrogen * factor)


class Cabin(TomlTable):
    """The air of a cabin."""

    volume: Volume = Field(description="Of its air.")
    pressure: CabinPressure = Field(description="Of its air, in use.")
    oxygen_share: Share = Field(
        PURE_OXYGEN,
        description="Share of the pressure that is oxygen's; the rest is nitrogen's. Default: all.",
        examples=["100 %"],
    )

    def air(self, volume: float | None = None) -> CabinAir:
        """Return the air in its own or another `volume` [m3], at 295 K."""
        moles = self.pressure * (volume or self.volume) / (GAS_CONSTANT * ROOM_TEMPERATURE)
        nitrogen = (1.0 - self.oxygen_share) * MOLAR_NITROGEN
        return CabinAir(moles * self.oxygen_share * MOLAR_OXYGEN, moles * nitrogen)


class Airlock(TomlTable):
    """An airlock, so that a walk does not cost the air of the whole cabin."""

    volume: Volume = Field(description="Of its air, with people and suits inside.")
    residue: Share = Field(
        1.0,
        description="Share of its air not pumped back before the hatch opens. Default: all.",
        examples=["10 %"],
    )
