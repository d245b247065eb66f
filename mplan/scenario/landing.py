"""How the lander comes down and goes up again: the tables [descent] and [lunar_ascent].

Every key has a default, so that a scenario need not have these tables. Gates and speeds are
near those of NASA TN D-6846 (from memory); what is marked so is common practice, no source.
"""

from __future__ import annotations

from math import radians
from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.quantities import Quantity
from mplan.scenario.table import TomlTable

HighGate = Annotated[float, Quantity("length", at_least="1 km", at_most="4 km", example="2.3 km")]
LowGate = Annotated[float, Quantity("length", at_least="60 m", at_most="800 m", example="155 m")]
HoverAltitude = Annotated[float, Quantity("length", at_least="5 m", at_most="50 m", example="20 m")]
HighSpeed = Annotated[
    float, Quantity("speed", at_least="50 m/s", at_most="300 m/s", example="154 m/s")
]
LowSpeed = Annotated[float, Quantity("speed", at_least="1 m/s", at_most="40 m/s", example="17 m/s")]
HighSink = Annotated[
    float, Quantity("speed", at_least="10 m/s", at_most="100 m/s", example="44 m/s")
]
LowSink = Annotated[float, Quantity("speed", at_least="1 m/s", at_most="20 m/s", example="5 m/s")]
TouchdownSpeed = Annotated[
    float, Quantity("speed", at_least="0.3 m/s", at_most="5 m/s", example="0.9 m/s")
]
Pause = Annotated[float, Quantity("time", at_least="0 s", at_most="300 s", example="15 s")]
Shift = Annotated[float, Quantity("length", at_least="0 m", at_most="1 km", example="100 m")]
Braking = Annotated[float, Quantity("fraction", at_least="30 %", at_most="100 %", example="92.5 %")]
Clearance = Annotated[float, Quantity("length", at_least="0 km", at_most="20 km", example="5 km")]
PassWait = Annotated[float, Quantity("time", at_least="-30 min", at_most="30 min", example="2 min")]


class PoweredDescentSettings(TomlTable):
    """From the descent perilune to the ground, and what is asked of it."""

    trim_time: Pause = Field(
        26.0, description="At lowest thrust before full braking, for the engine to find its line."
    )
    braking_throttle: Braking = Field(
        0.925, description="Thrust in braking, of full thrust: the rest is for control."
    )
    high_gate_altitude: HighGate = Field(
        2300.0, description="Where braking ends and the approach begins, above the site."
    )
    high_gate_speed: HighSpeed = Field(154.0, description="Speed ahead at the high gate.")
    high_gate_sink: HighSink = Field(44.0, description="Speed downwards at the high gate.")
    low_gate_altitude: LowGate = Field(
        155.0, description="Where the approach ends and the landing begins, above the site."
    )
    low_gate_speed: LowSpeed = Field(17.0, description="Speed ahead at the low gate.")
    low_gate_sink: LowSink = Field(5.0, description="Speed downwards at the low gate.")
    hover_altitude: HoverAltitude = Field(
        20.0, description="Of the hover over the site; common practice, no source."
    )
    hover_time: Pause = Field(15.0, description="Held in the hover; common practice, no source.")
    redesignation: Shift = Field(
        100.0,
        description="Moved sideways there, to better ground; common practice, no source.",
    )
    touchdown_speed: TouchdownSpeed = Field(0.9, description="Speed downwards at touchdown.")
    touchdown_limit: TouchdownSpeed = Field(
        3.0, description="Greatest speed its legs take; common practice, no source."
    )
    reserve_time: Pause = Field(
        20.0,
        description="Of hover that propellant must be left for at touchdown; "
        "common practice, no source.",
    )
    window_edge: Annotated[
        float, Quantity("angle", at_least="0 deg", at_most="90 deg", example="65 deg")
    ] = Field(
        radians(65.0),
        description="How far below their forward axis the crew see; default: 65 deg; "
        "common practice, no source.",
    )
    terrain_margin: Clearance = Field(
        5000.0,
        description="Least height of an orbit over the site's own ground; "
        "common practice, no source.",
    )
    abort_perilune: Clearance = Field(
        9000.0,
        description="Least perilune of an orbit that ends an abort, above the 1737.4 km sphere; "
        "common practice, no source.",
    )
    staging_time: Pause = Field(
        3.0,
        description="From the call for an abort to the ascent engine's full thrust; "
        "common practice, no source.",
    )


class LunarAscentSettings(TomlTable):
    """From the ground to the insertion orbit."""

    vertical_rise_time: Pause = Field(10.0, description="Straight up before the pitchover.")
    plane: Literal["flown out", "left to the rendezvous"] = Field(
        "flown out", description="What is done about the site's distance from the ship's plane."
    )
    after_pass: PassWait | None = Field(
        None,
        description="Time of lift-off after the ship has passed over, negative before it; default: "
        "when the ship is where the rendezvous requires it.",
    )
    plane_limit: Annotated[
        float, Quantity("speed", at_least="0 m/s", at_most="500 m/s", example="50 m/s")
    ] = Field(
        50.0,
        description="Greatest delta-v of the turn into the ship's plane; "
        "common practice, no source.",
    )
