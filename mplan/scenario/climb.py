"""How the stack climbs to its parking orbit: the table [climb], and keys of stages and engines.

Every key has a default, so that a scenario need not have this table; the defaults are common
practice without a source.
"""

from __future__ import annotations

from math import radians
from typing import Annotated

from pydantic import Field

from mplan.physics.bodies.days import DayName
from mplan.scenario.quantities import Quantity, Share, Speed
from mplan.scenario.table import Flag, Name, Ratio, TomlTable

Held = Annotated[float, Quantity("time", at_least="0 s", at_most="20 s", example="3 s")]
VerticalRise = Annotated[float, Quantity("time", at_least="2 s", at_most="60 s", example="12 s")]
Pitchover = Annotated[float, Quantity("time", at_least="1 s", at_most="60 s", example="10 s")]
PitchoverAngle = Annotated[
    float, Quantity("angle", at_least="0.02 deg", at_most="45 deg", example="5 deg")
]
Between = Annotated[float, Quantity("time", at_least="0 s", at_most="600 s", example="4 s")]
BuildUp = Annotated[float, Quantity("time", at_least="0 s", at_most="15 s", example="2 s")]
After = Annotated[float, Quantity("time", at_least="0 s", at_most="30 min", example="35 s")]
MostAcceleration = Annotated[
    float, Quantity("acceleration", at_least="12 m/s2", at_most="500 m/s2", example="39.2 m/s2")
]
MostPressure = Annotated[
    float, Quantity("pressure", at_least="5 kPa", at_most="1 MPa", example="35 kPa")
]


WindAltitude = Annotated[
    float, Quantity("length", at_least="-500 m", at_most="100 km", example="12 km")
]
WindSpeed = Annotated[
    float, Quantity("speed", at_least="0 m/s", at_most="200 m/s", example="45 m/s")
]
WindFrom = Annotated[
    float, Quantity("angle", at_least="-360 deg", at_most="360 deg", example="270 deg")
]
SmallAngle = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="20 deg", example="0.3 deg")
]
TemperatureOffset = Annotated[
    float,
    Quantity("temperature difference", at_least="-40 K", at_most="40 K", example="10 K"),
]


class ClimbWind(TomlTable):
    """The wind over the altitude."""

    origin: Name | None = Field(
        None,
        alias="from",
        description="CSV file with the columns altitude, speed and from, units in its header.",
        examples=["winds/winter_westerly.csv"],
    )
    rows: Annotated[
        tuple[tuple[WindAltitude, WindSpeed, WindFrom], ...], Field(min_length=2, max_length=5000)
    ] = Field(
        description="Altitude, speed and where it comes from, counted from north through east; by "
        "rising altitude. Below the lowest row the wind is that row's, above the highest it fades "
        "out up to 80 km.",
        examples=[[["0 km", "5 m/s", "90 deg"], ["12 km", "45 m/s", "270 deg"]]],
    )


class Falls(TomlTable):
    """How what is dropped in the climb meets the air, and errs: one standard deviation each."""

    drag_coefficient: Ratio = Field(
        1.0,
        description="Of what tumbles down, on its mean area over all attitudes, a quarter of its "
        "surface (common practice, no source).",
        examples=[1.1],
    )
    ballistic_coefficient: Share = Field(
        0.30, description="Error of mass over drag area.", examples=["30 %"]
    )
    separation_speed: Speed = Field(
        5.0, description="Error of the speed at separation.", examples=["5 m/s"]
    )
    separation_direction: SmallAngle = Field(
        radians(0.3),
        description="Error of its direction at separation, about each of two axes.",
    )
    wind: Speed = Field(
        20.0,
        description="Error of the wind where it is strongest, 10 to 14 km up, towards each side.",
        examples=["20 m/s"],
    )


class ClimbSettings(TomlTable):
    """From ignition to the parking orbit."""

    hold_down: Held = Field(
        3.0, description="From ignition to release; the propellant burned then is spent."
    )
    vertical_rise_time: VerticalRise = Field(
        12.0, description="Straight up, from release to the pitchover."
    )
    pitchover_duration: Pitchover = Field(
        10.0,
        description="How long it turns off the vertical, by the pitchover angle.",
    )
    pitchover_angle: PitchoverAngle | None = Field(
        None,
        description="How far it turns off the vertical; it then follows its path through the air. "
        "Default: the angle that leaves most propellant in the last stage, which is sought.",
    )
    separation_coast: Between = Field(
        4.0,
        description="From burn-out to the next stage's ignition; an element may state its own.",
    )
    settling_time: Between = Field(
        3.0, description="Added to the coast where the next engine requires settled propellant."
    )
    transfer_stage_burns: Flag = Field(
        True,
        description="Whether the stage that leaves for the Moon ends the climb, where the file "
        "states no events; if not, the last launch stage reaches the orbit and is let go there.",
    )
    settled_at_separation: Flag = Field(
        False,
        description="Whether separation itself keeps the next stage's propellant settled; "
        "default: thrusters or settling motors do, and use propellant.",
    )
    acceleration_limit: MostAcceleration | None = Field(
        None,
        description="Greatest for crew and stack; engines throttle, or are shut down one by one.",
    )
    pressure_limit: MostPressure | None = Field(
        None,
        description="Greatest dynamic pressure; engines that can throttle do so as it comes near.",
    )
    day: DayName = Field(
        "standard",
        description="Air of the launch day: the US Standard Atmosphere 1976; a warm day, 27 C at "
        "the ground (tropical air); or a cold one, -1 C (mid-latitude winter).",
    )
    temperature_offset: TemperatureOffset = Field(
        0.0,
        description="How much warmer the air is than that up to 11 km; above, it is as much colder "
        "as makes it the same again from 25 km on.",
    )
    wind: ClimbWind | None = Field(None, description="Wind of the launch day; default: none.")
    falls: Falls = Field(
        Falls(), description="How what is dropped falls, and the ellipse that it falls within."
    )
    drag_factor: Ratio = Field(
        1.0,
        description="Factor on the usual drag of a launch vehicle as wide as its widest element.",
        examples=[1.1],
    )
