"""Propellants by the names a scenario uses: density and boiling point."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Propellant:
    """Liquid or cast density [kg/m3], boiling point at one atmosphere [K], and their source."""

    density: float
    boiling_point: float | None
    source: str


_HANDBOOK = "handbook values for the saturated or room-temperature liquid, two sources agreeing"
_MEMORY = "from memory, not checked against a source"

PROPELLANTS: dict[str, Propellant] = {
    "liquid oxygen": Propellant(1141.0, 90.2, _HANDBOOK),
    "liquid hydrogen": Propellant(71.0, 20.3, _HANDBOOK),
    "kerosene": Propellant(820.0, 450.0, f"{_HANDBOOK}; boils from 450 K to 547 K"),
    "NTO": Propellant(1450.0, 294.3, _HANDBOOK),
    "MMH": Propellant(866.0, 360.7, f"{_HANDBOOK}; 875 kg/m3 at 20 C from memory"),
    "hydrazine": Propellant(1004.0, 386.7, _HANDBOOK),
    "UDMH": Propellant(791.0, 337.1, _HANDBOOK),
    "Aerozine-50": Propellant(900.0, 343.0, _MEMORY),
    "solid propellant": Propellant(1750.0, None, f"{_MEMORY}; 1700 to 1850 kg/m3 are met"),
}
