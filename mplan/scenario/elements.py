"""Elements of the stack: what each is, holds and pushes with."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.part import Count, Flag, Key, Name, Part, Ratio, Whole
from mplan.scenario.quantities import (
    Energy,
    Force,
    Length,
    Mass,
    MassOrNone,
    Power,
    Quantity,
    Time,
)
from mplan.vehicle.propellants import PROPELLANTS

Role = Literal[
    "launch stage",
    "transfer stage",
    "adapter",
    "descent stage",
    "ascent stage",
    "service module",
    "crew module",
    "escape tower",
    "fairing",
]

Isp = Annotated[float, Quantity("time", at_least="50 s", at_most="1000 s", example="311 s")]
Throttle = Annotated[float, Quantity("fraction", above="0 %", at_most="100 %", example="40 %")]


class Tank(Part):
    """A tank and its load."""

    propellant: Literal[tuple(PROPELLANTS)] = Field(description="What is in it.")
    load: Mass = Field(description="Propellant loaded on the pad.")


class Engine(Part):
    """One kind of engine of an element: `count` identical ones that burn together."""

    label: Name | None = Field(None, description="Name shown to people, if not its key.")
    purpose: Literal["main", "thrusters"] = Field(
        "main", description="Main engines fly burns; thrusters settle, turn and trim."
    )
    count: Count = Field(description="How many of them.")
    thrust_vacuum: Force = Field(description="Thrust of one, in vacuum.")
    thrust_sea_level: Force | None = Field(None, description="Thrust of one, at sea level.")
    isp_vacuum: Isp = Field(description="Specific impulse in vacuum.")
    isp_sea_level: Isp | None = Field(None, description="Specific impulse at sea level.")
    ignitions: Count = Field(description="Ignitions it is good for, the first included.")
    burn_time: Time = Field(description="Rated burn time, all burns together.")
    needs_settling: Flag = Field(
        False, description="Whether propellant must be settled before it ignites."
    )
    throttle_min: Throttle | None = Field(
        None, description="Lowest throttle setting; leave out if it cannot throttle."
    )
    fuel: Key = Field(
        description="Tank of the same element that the fuel comes from.", examples=["kerosene"]
    )
    oxidiser: Key | None = Field(
        None, description="Tank of the same element that the oxidiser comes from."
    )
    mixture_ratio: Ratio | None = Field(
        None,
        description="Oxidiser to fuel, by mass; stated if there is an oxidiser.",
        examples=[2.5],
    )


class Supplies(Part):
    """What the crew uses up, and room for what it makes."""

    oxygen: MassOrNone = Field(0.0, description="Breathing oxygen.")
    food: MassOrNone = Field(0.0, description="Food as packed.")
    water: MassOrNone = Field(0.0, description="Water for drinking and food.")
    co2_absorber: MassOrNone = Field(0.0, description="Lithium hydroxide.")
    waste_water: MassOrNone = Field(0.0, description="Room for waste water.")
    waste_solids: MassOrNone = Field(0.0, description="Room for solid waste.")


class ElementPower(Part):
    """Electric power of an element."""

    stored_energy: Energy = Field(description="Energy in batteries or reactants at lift-off.")
    supply: Power = Field(description="Steady supply, from panels or the like; may be zero.")
    load: Power = Field(description="Mean load while in use.")


class Element(Part):
    """One piece of the stack that is built, weighed and let go as a whole."""

    origin: Name | None = Field(
        None,
        alias="from",
        description="File this element is taken from, beside the scenario; keys here override it.",
        examples=["elements/descent.toml"],
    )
    role: Role = Field(description="What it does in the mission.")
    label: Name | None = Field(None, description="Name shown to people, if not its key.")
    dry_mass: Mass = Field(description="Mass without propellant, crew, supplies and payload.")
    length: Length = Field(
        description="Its length; what it adds to the stack unless it is inside another.",
        examples=["15.2 m"],
    )
    diameter: Length = Field(description="Greatest width.", examples=["4 m"])
    inside: Key | None = Field(
        None,
        description="Element that houses it on the pad, so that it adds no height of its own.",
        examples=["lander_bay"],
    )
    control_capacity: Mass | None = Field(
        None,
        description="Greatest mass of a stack that its control unit can steer.",
        examples=["190 t"],
    )
    seats: Whole = Field(0, description="Crew it can carry.")
    tanks: dict[Key, Tank] = Field({}, description="Tanks by name.")
    engines: dict[Key, Engine] = Field({}, description="Engines by name.")
    supplies: Supplies | None = Field(None, description="Crew supplies, if it has any.")
    power: ElementPower | None = Field(None, description="Electric power, if it has its own.")
