"""A relay craft about the Moon: the orbit that it is on already, and what it receives with."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field

from mplan.scenario.dates import Day
from mplan.scenario.quantities import Quantity
from mplan.scenario.radio.levels import FigureOfMerit
from mplan.scenario.table import Name, TomlTable

RelayApsis = Annotated[
    float, Quantity("length", at_least="50 km", at_most="30000 km", example="8000 km")
]
RelayInclination = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="180 deg", example="60 deg")
]
TurnAngle = Annotated[
    float, Quantity("angle", at_least="-360 deg", at_most="360 deg", example="90 deg")
]
RelayReach = Annotated[
    float, Quantity("length", at_least="100 km", at_most="100000 km", example="20000 km")
]


class RelayCraft(TomlTable):
    """A relay on an orbit about the Moon, flown from its `epoch` on; nobody launches it here.

    Angles are to the Moon's equator of that moment.
    """

    name: Name = Field(description="What it is called.", examples=["Lantern"])
    perilune: RelayApsis = Field(description="Above the 1737.4 km sphere, at its epoch.")
    apolune: RelayApsis | None = Field(
        None, description="Above the 1737.4 km sphere; default: a circle.", examples=["8000 km"]
    )
    inclination: RelayInclination = Field(description="To the Moon's equator.")
    node: TurnAngle = Field(
        description="Selenographic longitude over which it crosses the equator northwards, east "
        "positive, at its epoch."
    )
    argument_of_perilune: TurnAngle = Field(0.0, description="From the node; default: 0 deg.")
    anomaly: TurnAngle = Field(
        0.0, description="True anomaly at its epoch: 0 deg at perilune. Default: 0 deg."
    )
    epoch: Annotated[date, Day()] | None = Field(
        None,
        description="Day at whose beginning (UTC) the orbit is as stated; default: the moment of "
        "lift-off, whichever day that is.",
        examples=["2032-05-14"],
    )
    reach: RelayReach = Field(
        description="How far off a craft may be that it serves: near the Moon."
    )
    g_over_t: FigureOfMerit | None = Field(
        None,
        description="Of what it receives craft with, pointed at them; default: no link margin.",
        examples=["-2 dB/K"],
    )
