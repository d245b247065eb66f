"""What control of the craft must be able to do: the criteria of [control], and an element's fins.

Every criterion has a default: a first guess for a planning study, which the vehicle's own control
design replaces.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from mplan.physics.constants import DEG, MINUTE
from mplan.scenario import raw
from mplan.scenario.quantities import Length, Quantity, Speed
from mplan.scenario.table import TomlTable
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, shown

Turning = Annotated[
    float,
    Quantity(
        "angular acceleration", at_least="0 deg/s2", at_most="1000 deg/s2", example="0.1 deg/s2"
    ),
]
Pushing = Annotated[
    float, Quantity("acceleration", at_least="0 m/s2", at_most="10 m/s2", example="0.02 m/s2")
]
Misalignment = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="5 deg", example="0.25 deg")
]
Angle = Annotated[
    float, Quantity("angle", at_least="0.1 deg", at_most="180 deg", example="180 deg")
]
Deflection = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="25 deg", example="10 deg")
]
Rate = Annotated[
    float, Quantity("angular rate", at_least="0 deg/s", at_most="360 deg/s", example="0.5 deg/s")
]
Brief = Annotated[float, Quantity("time", at_least="1 s", at_most="1 h", example="20 s")]
Offset = Annotated[float, Quantity("length", at_least="0 m", at_most="2 m", example="2 cm")]
Area = Annotated[float, Quantity("area", at_least="1 cm2", at_most="1000 m2", example="6 m2")]
FinCount = Annotated[int, Field(strict=True, ge=3, le=8)]
Factor = Annotated[float, Field(strict=True, ge=1.0, le=10.0)]

PRACTICE = "(common practice, no source)"


class ControlCriteria(TomlTable):
    """What control authority is required for; the causes are added up, times `margin_factor`."""

    design_wind: Speed = Field(
        75.0,
        description="Steady wind at the altitude of maximum dynamic pressure, across the path; it "
        "grows evenly from zero at the ground and stays above. Default: 75 m/s, the 95 % "
        "scalar wind at 10 to 14 km of NASA's terrestrial environment criteria (from memory).",
        examples=["60 m/s"],
    )
    thrust_misalignment: Misalignment = Field(
        0.25 * DEG,
        description=f"Of every main engine, all the same way. Default: 0.25 deg {PRACTICE}.",
    )
    centre_of_mass_offset: Offset = Field(
        0.02,
        description=f"Of the centre of mass from the line of thrust. Default: 2 cm {PRACTICE}.",
    )
    powered_steering: Turning = Field(
        0.1 * DEG,
        description="To follow the guidance while a main engine burns, in pitch and yaw. "
        f"Default: 0.1 deg/s2 {PRACTICE}.",
    )
    attitude_hold: Turning = Field(
        0.005 * DEG,
        description=f"To hold the attitude about every axis. Default: 0.005 deg/s2 {PRACTICE}.",
    )
    separation_rate: Rate = Field(
        0.5 * DEG,
        description=f"Tip-off rate that a separation leaves. Default: 0.5 deg/s {PRACTICE}.",
    )
    separation_nulling_time: Brief = Field(
        20.0, description=f"In which that rate is nulled. Default: 20 s {PRACTICE}."
    )
    turn_angle: Angle = Field(
        180.0 * DEG,
        description=f"Turned through to an attitude, coasting. Default: 180 deg {PRACTICE}.",
    )
    turn_time: Brief = Field(
        10.0 * MINUTE,
        description=f"In which it is, from rest to rest. Default: 10 min {PRACTICE}.",
        examples=["10 min"],
    )
    docking_rotation: Turning = Field(
        0.02 * DEG,
        description=f"About every axis while docking. Default: 0.02 deg/s2 {PRACTICE}.",
    )
    docking_translation: Pushing = Field(
        0.02,
        description=f"Sideways and lengthways while docking. Default: 0.02 m/s2 {PRACTICE}.",
    )
    bank_angle: Angle = Field(
        180.0 * DEG,
        description=f"By which the lift vector is turned in the air. Default: 180 deg {PRACTICE}.",
    )
    bank_time: Brief = Field(
        20.0, description=f"In which it is, from rest to rest. Default: 20 s {PRACTICE}."
    )
    margin_factor: Factor = Field(
        1.25,
        description=f"On the sum of what is required. Default: 1.25 {PRACTICE}.",
        examples=[1.25],
    )


class Fins(TomlTable):
    """Fins at the lower end of an element, equal and evenly round it."""

    count: FinCount = Field(description="How many, three to eight.", examples=[4])
    area: Area = Field(description="Of one, outside the body.")
    span: Length = Field(description="From the body's side outwards.", examples=["2 m"])
    deflection: Deflection = Field(
        0.0, description="How far they can be turned either way. Default: 0 deg, fixed."
    )


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield each event whose `control` names an element without active guidance."""
    bodies = raw.elements(data)
    active = [name for name, body in bodies.items() if body.get("active_guidance") is True]
    for index, event in raw.events(data):
        name = event.get("control")
        if isinstance(name, str) and name in bodies and name not in active:
            text = f"found {shown(name)}, which has not active_guidance = true; accepted: "
            yield KeyProblem(("events", index, "control"), text + choices(active))
