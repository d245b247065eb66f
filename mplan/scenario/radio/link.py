"""The radio of an element: its link to ground stations and, where stated, theirs to it."""

from __future__ import annotations

from pydantic import Field

from mplan.scenario.radio.levels import (
    AntennaGain,
    BitEnergy,
    DataRate,
    FigureOfMerit,
    Frequency,
    LinkLoss,
    LinkMargin,
    TransmitterPower,
)
from mplan.scenario.table import TomlTable

LOSSES = (
    "All losses but that of free space: lines, pointing, polarization, what the craft's body "
    "hides, air and rain, the receiver's implementation."
)


class CommandLink(TomlTable):
    """What an element receives from ground stations: commands and voice."""

    g_over_t: FigureOfMerit = Field(
        description="Antenna gain over system noise temperature, pointed at Earth.",
        examples=["-8 dB/K"],
    )
    frequency: Frequency = Field(description="Of the carrier.", examples=["2.07 GHz"])
    losses: LinkLoss = Field(description=LOSSES)
    rate: DataRate = Field(description="Data rate wanted, before coding.", examples=["2 kbit/s"])
    required_ebn0: BitEnergy = Field(
        description="Eb/N0 that modulation and coding require at the accepted error rate."
    )


class ElementRadio(TomlTable):
    """What an element sends to ground stations, its antenna pointed at them."""

    power: TransmitterPower = Field(description="Radio-frequency power of the transmitter.")
    antenna_gain: AntennaGain = Field(description="Of the transmitting antenna, pointed at Earth.")
    losses: LinkLoss = Field(description=LOSSES)
    frequency: Frequency = Field(description="Of the carrier.")
    rate: DataRate = Field(description="Data rate wanted, before coding.")
    required_ebn0: BitEnergy = Field(
        description="Eb/N0 that modulation and coding require at the accepted error rate."
    )
    wanted_margin: LinkMargin = Field(
        3.0,
        description="Margin that the links have to keep. Default: 3 dB, with which 98 to 99 % of "
        "a lunar orbiter's data came down at 26 GHz in weather of 95 % (IPN Progress Report "
        "42-222B).",
    )
    command: CommandLink | None = Field(
        None, description="What it receives; default: that link is not worked out."
    )
