"""Propellants by the names a scenario uses: density, boiling point, and what boils and settles."""

from __future__ import annotations

from dataclasses import dataclass

CRYOGENIC = 200.0  # K: boiling points below need a cold tank, all others are far above


@dataclass(frozen=True)
class Propellant:
    """Liquid or cast density [kg/m3], boiling point at one atmosphere [K], and their source.

    `surface_tension` [N/m], None for what does not flow; `latent_heat` [J/kg] and `boil_off`
    (share of the load in a day, where a tank states none) of what is kept below 200 K. They are
    from memory, but for the surface tension of oxygen, on which two sources agree.
    """

    density: float
    boiling_point: float | None
    source: str
    surface_tension: float | None = None
    latent_heat: float | None = None
    boil_off: float = 0.0

    @property
    def cryogenic(self) -> bool:
        """Whether it boils in a tank that is not kept cold."""
        return self.boiling_point is not None and self.boiling_point < CRYOGENIC


_HANDBOOK = "handbook values for the saturated or room-temperature liquid, two sources agreeing"
_MEMORY = "from memory, not checked against a source"
# Boiled off of the load in a day, methane as oxygen (common practice, no source).
_HYDROGEN, _OXYGEN = 0.03, 0.005

PROPELLANTS: dict[str, Propellant] = {
    "liquid oxygen": Propellant(1141.0, 90.2, _HANDBOOK, 0.0132, 213e3, _OXYGEN),
    "liquid hydrogen": Propellant(71.0, 20.3, _HANDBOOK, 0.0019, 446e3, _HYDROGEN),
    "liquid methane": Propellant(422.0, 111.7, _MEMORY, 0.013, 510e3, _OXYGEN),
    "kerosene": Propellant(820.0, 450.0, f"{_HANDBOOK}; boils from 450 K to 547 K", 0.026),
    "NTO": Propellant(1450.0, 294.3, _HANDBOOK, 0.0265),
    "MMH": Propellant(866.0, 360.7, f"{_HANDBOOK}; 875 kg/m3 at 20 C from memory", 0.034),
    "hydrazine": Propellant(1004.0, 386.7, _HANDBOOK, 0.067),
    "UDMH": Propellant(791.0, 337.1, _HANDBOOK, 0.024),
    "Aerozine-50": Propellant(900.0, 343.0, _MEMORY, 0.029),
    "solid propellant": Propellant(1750.0, None, f"{_MEMORY}; 1700 to 1850 kg/m3 are met"),
}
