"""Elements of the stack: what each is, holds and pushes with."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.climb import Between
from mplan.scenario.control import Fins
from mplan.scenario.engines import Engine
from mplan.scenario.entry import Aeroshell, Parachutes
from mplan.scenario.escape import Escape
from mplan.scenario.geometry import Build
from mplan.scenario.living.electric import ElementPower
from mplan.scenario.living.heat import Radiators
from mplan.scenario.living.supplies import Supplies
from mplan.scenario.quantities import (
    Length,
    Mass,
    MassOrNone,
    Power,
    Quantity,
    Share,
)
from mplan.scenario.radio.link import ElementRadio
from mplan.scenario.table import Count, Flag, Key, Name, TomlTable, Whole
from mplan.scenario.tank_names import PropellantName

BallisticCoefficient = Annotated[
    float,
    Quantity("areal mass", at_least="1 kg/m2", at_most="100000 kg/m2", example="250 kg/m2"),
]
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

DockingPort = Literal["active", "passive", "androgynous", "none"]


class Tank(TomlTable):
    """A tank and its load."""

    propellant: PropellantName = Field(description="What is in it.")
    load: Mass = Field(description="Propellant loaded on the pad.")
    capacity: Mass | None = Field(
        None,
        description="What it holds when it is filled up to its ullage, of a tank that lifts off "
        "with less and is filled in flight; default: its load.",
        examples=["60 t"],
    )
    residuals: MassOrNone | None = Field(
        None,
        description="What cannot be used; default: the share in [margins], of its load, or of its "
        "capacity where that is stated.",
        examples=["85 kg"],
    )
    heat_input: Power | None = Field(
        None,
        description="Heat that leaks in and boils it off, from lift-off on.",
        examples=["1.5 kW"],
    )
    boil_off: Share | None = Field(
        None,
        description="Share of its load, or of its capacity where that is stated, that boils off "
        "in a day, in place of heat_input. Default of both: "
        "3 % of hydrogen, 0.5 % of oxygen (common practice, no source), nothing of others.",
        examples=["2 %"],
    )

    @property
    def full(self) -> float:
        """What it holds at most [kg]: its size, heat leak and residuals go by that."""
        return self.load if self.capacity is None else self.capacity


class Element(TomlTable):
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
    length: Length | None = Field(
        None,
        description="Its length; what it adds to the stack unless it is inside another. "
        "Stated, or worked out from [build].",
        examples=["15.2 m"],
    )
    diameter: Length = Field(description="Greatest width.", examples=["4 m"])
    top_diameter: Length | None = Field(
        None, description="Width of its upper end, if it tapers.", examples=["2 m"]
    )
    build: Build | None = Field(
        None, description="What its length is made of; without it, the length is stated."
    )
    inside: Key | None = Field(
        None,
        description="Element that houses it on the pad, so that it adds no height of its own.",
        examples=["lander_bay"],
    )
    beside: Key | None = Field(
        None,
        description="Element that it stands beside on the pad, as boosters do; it adds width.",
        examples=["first_stage"],
    )
    bodies: Count = Field(
        1, description="Equal bodies that it consists of, as a pair of boosters; they share all."
    )
    active_guidance: Flag = Field(
        False,
        description="Whether it is an active guidance element: it carries guidance and control "
        "equipment that can control the craft it belongs to.",
    )
    fins: Fins | None = Field(None, description="Fins at its lower end, if it has any.")
    ballistic_coefficient: BallisticCoefficient | None = Field(
        None,
        description="Mass over drag coefficient and area of what is left of it when it is dropped; "
        "default: of a tumbling cylinder of its size.",
    )
    separation_coast: Between | None = Field(
        None, description="In the climb, from its burn-out to the next stage's ignition."
    )
    seats: Whole = Field(0, description="Crew it can carry.")
    docking_port: DockingPort | None = Field(
        None,
        description="Its docking port, on its nose: an active one docks to a passive one, an "
        "androgynous one to its like. Default: active on a crew module, passive on an ascent "
        "stage, none elsewhere.",
    )
    docking_cycles: Count | None = Field(
        None,
        description="Dockings that its port is qualified for; default: not stated, not checked.",
        examples=[50],
    )
    tanks: dict[Key, Tank] = Field({}, description="Tanks by name.")
    engines: dict[Key, Engine] = Field({}, description="Engines by name.")
    supplies: Supplies | None = Field(None, description="Crew supplies, if it has any.")
    power: ElementPower | None = Field(None, description="Electric power, if it has its own.")
    radio: ElementRadio | None = Field(
        None, description="Its link to ground stations; without it no link margin is worked out."
    )
    radiators: Radiators | None = Field(
        None,
        description="What rejects its heat and that of what it serves; without any, heat is not "
        "examined.",
    )
    escape: Escape | None = Field(
        None, description="Motor of an escape tower; without it no escape is worked out."
    )
    aeroshell: Aeroshell | None = Field(
        None, description="Shape and heat shield; without it no entry is flown."
    )
    parachutes: Parachutes | None = Field(
        None, description="Drogues and mains; without them no entry is flown."
    )
