"""Quantities of radio links, with the bounds of what is built."""

from __future__ import annotations

from typing import Annotated

from mplan.scenario.quantities import Quantity

BANDS = "from VHF to Ka band"

Frequency = Annotated[
    float,
    Quantity("frequency", at_least="100 MHz", at_most="50 GHz", why=BANDS, example="2.25 GHz"),
]
DataRate = Annotated[
    float, Quantity("data rate", at_least="1 bit/s", at_most="10000 Mbit/s", example="64 kbit/s")
]
LinkLoss = Annotated[float, Quantity("ratio", at_least="0 dB", at_most="40 dB", example="4 dB")]
# Shannon's limit of -1.59 dB: with less energy a bit nothing decodes.
BitEnergy = Annotated[
    float,
    Quantity("ratio", at_least="-1.59 dB", at_most="40 dB", why="Shannon", example="2.5 dB"),
]
LinkMargin = Annotated[float, Quantity("ratio", at_least="0 dB", at_most="30 dB", example="3 dB")]
AntennaGain = Annotated[
    float, Quantity("gain", at_least="-20 dBi", at_most="85 dBi", example="26 dBi")
]
FigureOfMerit = Annotated[
    float, Quantity("figure of merit", at_least="-60 dB/K", at_most="70 dB/K", example="21 dB/K")
]
RadiatedPower = Annotated[
    float, Quantity("radiated power", at_least="-30 dBW", at_most="120 dBW", example="60 dBW")
]
NoiseTemperature = Annotated[
    float, Quantity("temperature", at_least="5 K", at_most="10000 K", example="120 K")
]
TransmitterPower = Annotated[
    float, Quantity("power", at_least="1 mW", at_most="100 kW", example="20 W")
]
