"""What gets a crew out of a failing flight: the escape tower, limits and times of other aborts."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from mplan.physics.constants import HOUR
from mplan.scenario.quantities import Force, Mass, Quantity, Share
from mplan.scenario.table import Ratio, TomlTable

Burn = Annotated[float, Quantity("time", at_least="0.1 s", at_most="30 s", example="3.4 s")]
Tail = Annotated[float, Quantity("time", at_least="0 s", at_most="30 s", example="2 s")]
Lean = Annotated[float, Quantity("angle", at_least="0 deg", at_most="60 deg", example="30 deg")]
Aside = Annotated[float, Quantity("force", at_least="0 N", at_most="10 MN", example="30 kN")]
Warned = Annotated[float, Quantity("time", at_least="0 s", at_most="60 s", example="2 s")]
Running = Annotated[float, Quantity("time", at_least="0 s", at_most="1 h", example="30 s")]
Height = Annotated[float, Quantity("length", at_least="1 m", at_most="10 km", example="1200 m")]
Overpressure = Annotated[
    float, Quantity("pressure", at_least="1 kPa", at_most="1 MPa", example="69 kPa")
]
Wait = Annotated[float, Quantity("time", at_least="10 min", at_most="24 h", example="2 h")]
Suited = Annotated[float, Quantity("time", at_least="0 h", at_most="20 d", example="115 h")]
Orbit = Annotated[float, Quantity("length", at_least="120 km", at_most="1000 km", example="150 km")]


class Escape(TomlTable):
    """The motor of an escape tower and what it must achieve; its mass is in the dry mass."""

    thrust: Force = Field(
        description="Of the motor at the ground, all nozzles, before their cant is taken off.",
        examples=["720 kN"],
    )
    burn_time: Burn = Field(description="At full thrust.")
    tail_off: Tail = Field(
        0.0, description="Time in which thrust then fades evenly to nothing; default: none."
    )
    propellant: Mass = Field(description="Of the motor, within the dry mass.", examples=["1.25 t"])
    cant: Lean = Field(
        0.0, description="Angle of the nozzles outwards, clear of the crew module; default: none."
    )
    side_thrust: Aside = Field(
        0.0,
        description="Across the tower while the motor burns, from one nozzle made weaker or a "
        "motor of its own, so that the path leads aside; default: none.",
    )
    drag_coefficient: Ratio = Field(
        0.7,
        description="Of tower and crew module together, on the crew module's diameter; "
        "default: 0.7 (common practice, no source).",
        examples=[0.7],
    )
    warning: Warned = Field(
        1.0,
        description="From the motor's ignition to the explosion it flees; default: 1 s "
        "(common practice, no source).",
    )
    engines_run: Running = Field(
        30.0,
        description="Until so long after lift-off the stack's engines run on in an escape, to "
        "clear the pad; later they are stopped. Default: 30 s (common practice, no source).",
    )
    overpressure_limit: Overpressure = Field(
        69.0e3,
        description="Greatest blast the crew module stands; default: 69 kPa, 10 psi "
        "(from memory of past practice, no source).",
    )
    minimum_apogee: Height = Field(
        1200.0,
        description="Height above the pad that its parachutes need; default: 1200 m "
        "(common practice, no source).",
    )


class AbortLimits(TomlTable):
    """Limits of an abort without the tower: load, pressure, orbit, time in suits; the way home."""

    peak_load: Ratio = Field(
        16.0,
        description="Greatest deceleration of a ballistic return, in standard g; default: 16 "
        "(common practice, no source).",
        examples=[16.0],
    )
    pressure_limit: Annotated[
        float, Quantity("pressure", at_least="1 Pa", at_most="1 MPa", example="0.5 kPa")
    ] = Field(
        500.0,
        description="Greatest dynamic pressure in which the ship can leave the stack without a "
        "tower; default: 0.5 kPa (common practice, no source).",
    )
    safe_orbit: Orbit = Field(
        150.0e3,
        description="Altitude of the lowest orbit that an abort to orbit may end in; "
        "default: 150 km (common practice, no source).",
    )
    home_correction: Wait = Field(
        7200.0,
        description="If insertion into lunar orbit fails: from perilune to the burn that corrects "
        "the way home; default: 2 h (common practice, no source).",
    )
    suited_time: Suited = Field(
        115.0 * HOUR,
        description="How long the crew can live in their suits in a cabin that leaks, on what the "
        "craft feeds them; default: 115 h, what the suits of past lunar missions had to last for "
        "(from memory, no source at hand).",
    )
    emergency_load: Share = Field(
        1.0,
        description="Electric load that stays on once half the power is lost, as a share of the "
        "planned one; default: 100 %, nothing is switched off.",
        examples=["60 %"],
    )
