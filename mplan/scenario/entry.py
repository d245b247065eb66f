"""What brings a crew module home through the air: its aeroshell and its parachutes."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.quantities import Length, Quantity, Share, Speed
from mplan.scenario.table import Count, Ratio, TomlTable

Lift = Annotated[float, Field(strict=True, ge=0, le=1)]
Nose = Annotated[float, Quantity("length", at_least="5 cm", at_most="10 m", example="4.5 m")]
Flux = Annotated[float, Quantity("heat flux", at_least="1 kW/m2", at_most="1 GW/m2")]
HeatLoad = Annotated[float, Quantity("heat load", at_least="1 kJ/m2", at_most="100 GJ/m2")]
ArealMass = Annotated[float, Quantity("areal mass", at_least="0.01 kg/m2", at_most="500 kg/m2")]
Ablation = Annotated[
    float, Quantity("heat per mass", at_least="0.5 MJ/kg", at_most="500 MJ/kg", example="20 MJ/kg")
]
Pressure = Annotated[float, Quantity("pressure", at_least="1 Pa", at_most="10 MPa")]
Height = Annotated[float, Quantity("length", at_least="300 m", at_most="20 km", example="7.2 km")]
Wind = Annotated[float, Quantity("speed", at_least="0 m/s", at_most="60 m/s", example="8 m/s")]


class Aeroshell(TomlTable):
    """Shape and heat shield, as they meet the air."""

    drag_coefficient: Ratio = Field(
        description="Hypersonic, on the area of its diameter.", examples=[1.3]
    )
    subsonic_drag: Ratio | None = Field(
        None,
        description="Drag coefficient below Mach 1; default: drag_coefficient.",
        examples=[0.85],
    )
    diameter: Length | None = Field(
        None, description="Diameter of the drag area; default: the element's.", examples=["4 m"]
    )
    lift_to_drag: Lift = Field(description="Hypersonic; 0 falls ballistically.", examples=[0.3])
    nose_radius: Nose = Field(description="Radius of the heat shield's sphere.")
    effective_nose_radius: Nose | None = Field(
        None,
        description="Radius of the sphere whose stagnation point is heated like this nose at its "
        "angle of attack, from tests or computed flow; default: from nose_radius, diameter and "
        "lift_to_drag.",
        examples=["3 m"],
    )
    rated_heating: Flux = Field(
        description="Greatest heating at the stagnation point that the heat shield is rated for."
    )
    rated_heat_load: HeatLoad = Field(
        description="Greatest heat at the stagnation point that the heat shield is rated for."
    )
    shield_areal_mass: ArealMass | None = Field(
        None,
        description="Mass a square metre that may ablate at the stagnation point; default: it is "
        "not checked.",
    )
    effective_heat: Ablation | None = Field(
        None,
        description="Effective heat of ablation, from the material's own tests at such heating and"
        " pressure; default: the ablated mass is not worked out.",
    )
    acceleration_limit: Ratio = Field(
        description="Greatest deceleration that crew and structure are rated for, in standard g.",
        examples=[10.0],
    )


class ParachuteSet(TomlTable):
    """One kind of parachute, opened together."""

    count: Count = Field(description="How many of them.")
    diameter: Length = Field(description="Nominal diameter of one.", examples=["25 m"])
    drag_coefficient: Ratio = Field(description="On the nominal area.", examples=[0.55])
    altitude: Height = Field(description="Altitude at which they open.")
    reefed: Share = Field(
        1.0,
        description="Share of the full drag area at first opening; default: all of it.",
    )
    pressure_limit: Pressure = Field(description="Greatest dynamic pressure that they may open at.")
    mach_limit: Ratio | None = Field(
        None, description="Greatest Mach number that they may open at.", examples=[0.9]
    )


class Parachutes(TomlTable):
    """Drogues and mains, and what the touchdown may be."""

    drogues: ParachuteSet = Field(description="Steady and slow the crew module, then fall away.")
    mains: ParachuteSet = Field(description="Carry it down.")
    touchdown_limit: Speed = Field(
        description="Greatest speed of descent at touchdown.", examples=["10 m/s"]
    )
    surface: Literal["water", "land"] = Field("water", description="What it comes down on.")
    wind: Wind = Field(
        0.0, description="Steady wind to drift with under the parachutes; default: none."
    )
