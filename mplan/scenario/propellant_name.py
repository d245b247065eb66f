"""The propellants that a scenario may name."""

from __future__ import annotations

from typing import Literal

PropellantName = Literal[
    "liquid oxygen",
    "liquid hydrogen",
    "liquid methane",
    "kerosene",
    "NTO",
    "MMH",
    "hydrazine",
    "UDMH",
    "Aerozine-50",
    "solid propellant",
]
