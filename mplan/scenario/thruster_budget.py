"""What thrusters are used for beside burns, phase by phase: the table [thruster_budget].

Every key has a default, so that the empty table already draws. What is marked so is common practice
without a source, or from memory of flown missions.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Literal, NamedTuple, get_args

from pydantic import Field

from mplan.physics.constants import DEG
from mplan.scenario import raw
from mplan.scenario.quantities import MassOrNone, Quantity, Share
from mplan.scenario.table import Flag, Key, TomlTable
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, shown

PhaseName = Literal[
    "parking orbit",
    "translunar coast",
    "lunar orbit, docked",
    "lunar orbit, ship alone",
    "descent",
    "ascent and rendezvous",
    "transearth coast",
    "entry",
]
ItemName = Literal[
    "turns",
    "limit cycles",
    "gravity gradient",
    "thermal rotation",
    "docking",
    "separation",
    "steering",
]
ITEMS: tuple[ItemName, ...] = get_args(ItemName)
COASTS: tuple[PhaseName, ...] = ("translunar coast", "transearth coast")

PRACTICE, MEMORY = "(common practice, no source)", "(from memory, of flown missions)"

TurnRate = Annotated[
    float, Quantity("angular rate", at_least="0.01 deg/s", at_most="30 deg/s", example="0.5 deg/s")
]
Deadband = Annotated[
    float, Quantity("angle", at_least="0.01 deg", at_most="90 deg", example="0.5 deg")
]
Push = Annotated[float, Quantity("speed", at_least="0 m/s", at_most="20 m/s", example="0.5 m/s")]
ADay = Annotated[float, Field(ge=0, le=1000)]
Turns = Annotated[float, Field(ge=0, le=100)]
Attitude = Literal["inertial", "local"]


class PhaseUse(TomlTable):
    """What is otherwise in one phase; what is left out is as in the table above it."""

    turn_rate: TurnRate | None = Field(None, description="Rate of turns.", examples=["2 deg/s"])
    turns_a_day: ADay | None = Field(None, description="Turns while it coasts.", examples=[24])
    deadband: Deadband | None = Field(None, description="Of the attitude held, either way.")
    attitude: Attitude | None = Field(
        None, description="Held among the stars, or turning with the local vertical."
    )
    rotation: Flag | None = Field(
        None, description="Whether it rotates slowly for even heating; default: in both coasts."
    )
    stated: dict[ItemName, MassOrNone] = Field(
        {},
        description="Amounts in place of those worked out, by item; each is drawn whole as the "
        "phase begins.",
        examples=[{"docking": "18 kg"}],
    )


AS_ABOVE = PhaseUse()  # what holds where nothing is otherwise


class PhaseRules(NamedTuple):
    """What holds in one phase, with nothing left open: rates in [rad/s], amounts in [kg]."""

    turn_rate: float
    turns_a_day: float
    deadband: float  # rad, either way
    attitude: Attitude
    rotation: bool
    stated: Mapping[ItemName, float]


class ThrusterBudget(TomlTable):
    """Propellant for attitude, docking and housekeeping; worked out, drawn as it happens."""

    turn_rate: TurnRate = Field(
        0.2 * DEG,
        description=f"Rate of turns, from rest to rest, about all three axes. Default: 0.2 deg/s "
        f"{MEMORY}.",
    )
    turns_a_day: ADay = Field(
        6.0, description=f"Turns while it coasts. Default: 6 {PRACTICE}.", examples=[12]
    )
    burn_turns: Turns = Field(
        2.0, description=f"Turns for each burn. Default: 2, there and back {PRACTICE}."
    )
    deadband: Deadband = Field(
        5.0 * DEG,
        description=f"Of the attitude held while it coasts, either way. Default: 5 deg, the wide "
        f"one {MEMORY}.",
    )
    attitude: Attitude = Field(
        "inertial",
        description="What attitude is held in orbit: inertial, among the stars, against the "
        "gravity gradient; local, with the local vertical, where that is neglected.",
    )
    rotation_rate: TurnRate = Field(
        0.3 * DEG,
        description=f"Of the slow rotation for even heating. Default: 0.3 deg/s {MEMORY}.",
    )
    rotations_a_day: ADay = Field(
        3.0,
        description=f"How often it is begun and ended. Default: 3 a day {PRACTICE}.",
        examples=[3],
    )
    rotation_deadband: Deadband = Field(
        20.0 * DEG,
        description=f"Of the axis it rotates about, either way. Default: 20 deg {MEMORY}.",
        examples=["20 deg"],
    )
    docking_delta_v: Push = Field(
        1.0,
        description="For a docking, of the craft that moves up; one that rendezvous.docking pays "
        f"for takes none. Default: 1 m/s {PRACTICE}.",
    )
    undocking_delta_v: Push = Field(
        0.5,
        description="For an undocking, of the craft that leaves or is named in `control`. "
        f"Default: 0.5 m/s {PRACTICE}.",
    )
    separation_delta_v: Push = Field(
        0.3,
        description="After a jettison, of the craft that is left; a crew module, whose thrusters "
        f"turn it, is pushed off by what it leaves. Default: 0.3 m/s {PRACTICE}.",
    )
    entry_turns: Turns = Field(
        6.0, description=f"Rolls of the lift vector in the entry. Default: 6 {PRACTICE}."
    )
    entry_turn_rate: TurnRate = Field(
        15.0 * DEG, description=f"Rate of those rolls. Default: 15 deg/s {MEMORY}."
    )
    reserve: Share = Field(
        1.0,
        description="Kept in the tanks, of all that thrusters of an element draw so. Default: "
        "100 %, as much again: what is worked out is low, and the budgets of a flown ship and "
        "lander kept 630 lb beside 590 and 283 beside 253 (Apollo 11 Flight Plan, 1969, tables "
        "5-1 and 5-6).",
        examples=["100 %"],
    )
    reserves: dict[Key, MassOrNone] = Field(
        {},
        description="Kept in the tanks of the thrusters of an element, in place of that share.",
        examples=[{"service_module": "60 kg"}],
    )
    phases: dict[PhaseName, PhaseUse] = Field(
        {}, description="What is otherwise in a phase, by its name."
    )

    def during(self, phase: PhaseName) -> PhaseRules:
        """Return what holds in a phase, with nothing left open."""
        own = self.phases.get(phase, AS_ABOVE)
        return PhaseRules(
            turn_rate=self.turn_rate if own.turn_rate is None else own.turn_rate,
            turns_a_day=self.turns_a_day if own.turns_a_day is None else own.turns_a_day,
            deadband=self.deadband if own.deadband is None else own.deadband,
            attitude=own.attitude or self.attitude,
            rotation=phase in COASTS if own.rotation is None else own.rotation,
            stated=own.stated,
        )


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield each element with a reserve that is not there or has no thrusters."""
    bodies = raw.elements(data)
    having = [
        name
        for name, body in bodies.items()
        if any(
            isinstance(engine, dict) and engine.get("purpose") == "thrusters"
            for engine in raw.table(body, "engines").values()
        )
    ]
    for name in raw.table(data, "thruster_budget", "reserves"):
        if name not in having:
            text = f"found {shown(name)}, which has no thrusters; accepted: {choices(having)}"
            yield KeyProblem(("thruster_budget", "reserves", name), text)
