"""Engines: what one is, how often and how long it may burn, what it draws on and what it costs.

A file of a catalogue holds the engine; the element that takes it in says how many there are and
which tanks they draw from.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.climb import BuildUp
from mplan.scenario.quantities import Force, Length, Mass, Quantity, Time
from mplan.scenario.table import Count, Flag, Key, Name, TomlTable
from mplan.scenario.tank_names import OwnTank, PropellantName

Isp = Annotated[float, Quantity("time", at_least="50 s", at_most="1000 s", example="311 s")]
Gimbal = Annotated[float, Quantity("angle", at_least="0 deg", at_most="20 deg", example="5 deg")]
Throttle = Annotated[float, Quantity("fraction", at_least="1 %", at_most="100 %", example="40 %")]
DeliveryTime = Annotated[float, Quantity("time", at_least="0 d", at_most="20 yr", example="540 d")]
Between = Annotated[float, Quantity("time", at_least="0 s", at_most="30 d", example="80 min")]
ImpulseBit = Annotated[
    float, Quantity("impulse", at_least="0.001 N s", at_most="10 kN s", example="2 N s")
]
SettlingTime = Annotated[float, Quantity("time", at_least="0 s", at_most="10 min", example="15 s")]
Millions = Annotated[float, Field(strict=True, ge=0, le=1e6)]
Starts = Annotated[int, Field(strict=True, ge=1, le=10_000_000)]  # thrusters fire in pulses
# From hydrogen peroxide with kerosene (8) to hydrogen with fluorine (14) and, fuel-rich, 0.5.
MixtureRatio = Annotated[float, Field(strict=True, ge=0.2, le=20)]
DevelopmentStatus = Literal["concept", "in development", "qualified", "flown"]
Other = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_-]*\.[A-Za-z][A-Za-z0-9_-]*$")]


class Engine(TomlTable):
    """One kind of engine of an element: `count` identical ones that burn together."""

    origin: Name | None = Field(
        None,
        alias="from",
        description="File this engine is taken from, beside this one; keys here override it.",
        examples=["../engines/dimity_11.toml"],
    )
    label: Name | None = Field(None, description="Name shown to people, if not its key.")
    purpose: Literal["main", "thrusters", "settling"] = Field(
        "main",
        description="Main engines fly burns; thrusters settle, turn and trim; settling motors "
        "only settle.",
    )
    count: Count = Field(description="How many of them.")
    thrust_vacuum: Force = Field(description="Thrust of one, in vacuum.")
    thrust_sea_level: Force | None = Field(None, description="Thrust of one, at sea level.")
    isp_vacuum: Isp = Field(description="Specific impulse in vacuum.")
    isp_sea_level: Isp | None = Field(None, description="Specific impulse at sea level.")
    starts: Starts = Field(description="Starts it is qualified for, the first included.")
    qualified_duration: Time = Field(
        description="Burn time it is qualified for, all burns together."
    )
    longest_burn: Time | None = Field(
        None, description="Longest single burn it is qualified for; default: the whole duration."
    )
    restart_interval: Between | None = Field(
        None, description="Least time from the end of a burn to the next start; default: none."
    )
    build_up: BuildUp = Field(
        2.0,
        description="From ignition to full thrust, in the climb; default: 2 s "
        "(common practice, no source).",
    )
    settling_required: Flag = Field(
        False, description="Whether propellant must be settled before each start."
    )
    settled_by: Other | None = Field(
        None,
        description="Thrusters of another element that settle its propellant; default: those of "
        "its own element, or else of one joined to it.",
        examples=["ascent_stage.thrusters"],
    )
    settling_time: SettlingTime | None = Field(
        None,
        description="How long it is settled before a start in orbit; default: as long as "
        "propellant takes to fall 1.5 lengths of its longest tank (common practice, no source).",
    )
    settling_count: Count | None = Field(
        None,
        description="Of thrusters, how many push forward together to settle; default: all.",
        examples=[4],
    )
    impulse_bit: ImpulseBit | None = Field(
        None,
        description="Of one thruster, the impulse of its shortest pulse; default: its thrust for "
        "15 ms (from memory, of flown ones).",
    )
    pulse_isp: Isp | None = Field(
        None,
        description="Specific impulse in its shortest pulses; default: 60 % of that in vacuum "
        "(common practice, no source).",
        examples=["170 s"],
    )
    throttle_min: Throttle | None = Field(
        None, description="Lowest throttle setting; default: it cannot throttle."
    )
    propellants: Annotated[tuple[PropellantName, ...], Field(max_length=2)] | None = Field(
        None,
        description="What it burns, the fuel first; its tanks must hold that. Default: whatever "
        "its tanks hold.",
        examples=[["kerosene", "liquid oxygen"]],
    )
    fuel: OwnTank = Field(
        description="Tank of the same element that the fuel comes from.", examples=["kerosene"]
    )
    oxidiser: OwnTank | None = Field(
        None, description="Tank of the same element that the oxidiser comes from."
    )
    crossfeed: Key | None = Field(
        None,
        description="Element whose tanks it draws from in place of its own, through lines that "
        "join them; not in the climb.",
        examples=["descent_stage"],
    )
    mixture_ratio: MixtureRatio | None = Field(
        None,
        description="Oxidiser to fuel, by mass; stated if there is an oxidiser.",
        examples=[2.5],
    )
    length: Length | None = Field(
        None, description="From its mount to the nozzle's end.", examples=["3.2 m"]
    )
    gimbal: Gimbal | None = Field(
        None,
        description="How far its thrust can be turned off its line; 0 deg if it is fixed. Default: "
        "control authority is not worked out and a decision is asked.",
    )
    lever_arm: Length | None = Field(
        None,
        description="Of thrusters, about any axis; default: half the element's diameter or their "
        "distance from the centre of mass. Of several main engines in roll; default: a quarter "
        "of the diameter (common practice, no source).",
        examples=["2.1 m"],
    )
    exit_diameter: Length | None = Field(
        None, description="Of its nozzle's end, outside.", examples=["1.9 m"]
    )
    mass: Mass | None = Field(
        None,
        description="Of one, part of the element's dry mass; with it, trades of engines weigh "
        "the difference.",
        examples=["1.6 t"],
    )
    development_status: DevelopmentStatus | None = Field(
        None, description="How far it has come; told in trades of engines."
    )
    nonrecurring_cost: Millions | None = Field(
        None,
        description="Development, qualification and tooling that this programme would pay, "
        "whatever the count, in millions of its own money.",
        examples=[40],
    )
    unit_cost: Millions | None = Field(
        None, description="Of each one built, in millions of the same money.", examples=[6]
    )
    delivery_time: DeliveryTime | None = Field(
        None, description="From the decision for it to its delivery; see dates.decision_day."
    )
