"""How the ascent stage meets the ship in lunar orbit: the table [rendezvous].

Every key has a default, so that a scenario need not have the table. Times and angles are near
those of the flown concentric and short schedules (from memory); what is marked so is common
practice, no source.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from mplan.physics.constants import DEG, MINUTE
from mplan.scenario.quantities import Quantity
from mplan.scenario.table import Count, TomlTable

Below = Annotated[float, Quantity("length", at_least="5 km", at_most="60 km", example="27.78 km")]
Sight = Annotated[float, Quantity("angle", at_least="10 deg", at_most="50 deg", example="26.6 deg")]
Travel = Annotated[
    float, Quantity("angle", at_least="60 deg", at_most="150 deg", example="130 deg")
]
Wait = Annotated[float, Quantity("time", at_least="5 min", at_most="110 min", example="38 min")]
Range = Annotated[float, Quantity("length", at_least="10 m", at_most="5 km", example="450 m")]
Closing = Annotated[float, Quantity("speed", at_least="0.3 m/s", at_most="30 m/s", example="6 m/s")]
Allowed = Annotated[float, Quantity("speed", at_least="0 m/s", at_most="50 m/s", example="3 m/s")]
Docking = Annotated[float, Quantity("time", at_least="1 min", at_most="120 min", example="15 min")]


class BrakingGate(TomlTable):
    """No faster than this from this range on."""

    range: Range = Field(description="Distance to the ship.")
    speed: Closing = Field(description="Closing speed from there on.")


GATES = (
    BrakingGate.model_construct(range=900.0, speed=9.0),
    BrakingGate.model_construct(range=450.0, speed=6.0),
    BrakingGate.model_construct(range=150.0, speed=3.0),
)


class RendezvousSettings(TomlTable):
    """From the insertion orbit to the ship."""

    schedule: Literal["coelliptic", "direct"] = Field(
        "coelliptic",
        description="By way of a coelliptic orbit below the ship, or straight from insertion.",
    )
    revolutions: Count = Field(
        1, description="The apolune, counted from insertion, at which a coelliptic schedule begins."
    )
    height: Below = Field(
        27780.0, description="Of the ship's orbit over the coelliptic one: 15 nautical miles."
    )
    coast_time: Wait = Field(
        46.0 * MINUTE, description="From the coelliptic burn to the terminal phase, as planned."
    )
    direct_time: Wait = Field(
        38.0 * MINUTE, description="From insertion to the terminal phase of a direct schedule."
    )
    elevation: Sight = Field(
        26.6 * DEG,
        description="Of the ship over the horizon when the terminal phase begins: 26.6 deg if "
        "default: where that burn goes along the line of sight.",
    )
    transfer_angle: Travel = Field(
        130.0 * DEG,
        description="Angle that the ship travels in the terminal phase; default: 130 deg.",
    )
    braking_gates: Annotated[tuple[BrakingGate, ...], Field(min_length=1)] = Field(
        GATES,
        description="Ranges at which it slows down, and to what; default: 900 m to 9 m/s, 450 m to "
        "6 m/s, 150 m to 3 m/s.",
    )
    station_range: Range = Field(
        30.0, description="Distance at which it stops beside the ship; common practice, no source."
    )
    midcourse: Allowed = Field(
        3.0, description="Allowed for corrections on the way; common practice, no source."
    )
    docking: Allowed = Field(
        3.0, description="Allowed from the stop to contact; common practice, no source."
    )
    docking_time: Docking = Field(
        15.0 * MINUTE, description="From the stop to contact; common practice, no source."
    )
