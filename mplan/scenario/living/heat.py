"""Radiators: what rejects the heat of people and electric loads."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from mplan.scenario.quantities import Power, Quantity, Share
from mplan.scenario.table import TomlTable

Area = Annotated[
    float, Quantity("area", at_least="0.01 m2", at_most="5000 m2", why="panels", example="6 m2")
]
RadiatorTemperature = Annotated[
    float,
    Quantity("temperature", at_least="150 K", at_most="500 K", why="a coolant", example="283 K"),
]
SinkTemperature = Annotated[
    float,
    Quantity("temperature", at_least="3 K", at_most="400 K", why="the sky", example="220 K"),
]

EMISSIVITY = 0.85  # of white paint at the end of life (common practice, no source)
COOLANT, SINK = 283.0, 220.0  # K: of its surface, of what it sees in the Sun (no source)
ON_MOON = 260.0  # K: upright panels over ground under a low Sun (common practice, no source)


class Radiators(TomlTable):
    """A first-order balance: area, emissivity and two temperatures, by Stefan and Boltzmann."""

    area: Area = Field(description="Of all surfaces that radiate.")
    emissivity: Share = Field(
        EMISSIVITY,
        description="Times the share of the surface's temperature that is kept over it. Default: "
        "85 % (common practice, no source).",
    )
    temperature: RadiatorTemperature = Field(
        COOLANT,
        description="Mean temperature of the surface. Default: 283 K (common practice, no source).",
    )
    sink_temperature: SinkTemperature = Field(
        SINK,
        description="Of a black sky that would give it as much as Sun, Earth and Moon do. Default: "
        "220 K (common practice, no source).",
    )
    sink_on_moon: SinkTemperature = Field(
        ON_MOON,
        description="The same on the Moon. Default: 260 K (common practice, no source).",
        examples=["250 K"],
    )
    absorbed: Power = Field(
        0.0, description="Heat that the craft itself takes up beside them; default: none."
    )
