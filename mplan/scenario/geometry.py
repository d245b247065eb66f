"""How an element is built: its tanks, engines and structure, from which its length follows."""

from __future__ import annotations

from math import sqrt
from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.quantities import Length, Quantity
from mplan.scenario.table import Count, Key, Ratio, TomlTable

Arrangement = Literal["separate", "common bulkhead", "clustered", "side"]
DomeDepth = Annotated[float, Quantity("fraction", at_least="5 %", at_most="100 %", example="71 %")]
Ullage = Annotated[float, Quantity("fraction", at_least="0 %", at_most="50 %", example="3 %")]
LengthOrNone = Annotated[float, Quantity("length", at_least="0 m", at_most="50 m", example="1.5 m")]

DOME_DEPTH = 1.0 / sqrt(2.0)  # of the radius (common practice, no source)
ULLAGE = 0.03  # of a tank's volume (common practice, no source)
SPACING = 1.2  # of the nozzles' diameter, between centres (common practice, no source)


class TankBuild(TomlTable):
    """Where one tank differs from the others of its element."""

    shape: Literal["cylinder", "sphere"] = Field(
        "cylinder", description="A cylinder with two domes, or a sphere."
    )
    count: Count = Field(1, description="How many equal ones the load is shared between.")
    diameter: Length | None = Field(None, description="Inside, of a cylinder.", examples=["1.5 m"])
    dome_depth: DomeDepth | None = Field(None, description="As a share of its radius.")
    ullage: Ullage | None = Field(None, description="Share of its volume that stays free.")


class Build(TomlTable):
    """What an element's length is made of, from its lower end up; what is omitted takes none."""

    arrangement: Arrangement = Field(
        description="Main tanks one above the other, in one shell with a common bulkhead, "
        "clustered side by side over the engines, or at the engines' side."
    )
    order: tuple[Key, ...] | None = Field(
        None,
        description="Main tanks from the bottom up; default: as they are listed.",
        examples=[["hydrogen", "oxygen"]],
    )
    bulkhead: Literal["up", "down"] = Field("up", description="Which way a common bulkhead bulges.")
    diameter: Length | None = Field(
        None, description="Inside, of the tanks; default: the element's.", examples=["4 m"]
    )
    dome_depth: DomeDepth = Field(
        DOME_DEPTH,
        description="Of the domes, as a share of their radius; common practice is 71 %.",
    )
    ullage: Ullage = Field(
        ULLAGE, description="Share of each tank's volume that stays free; common practice is 3 %."
    )
    nested: LengthOrNone = Field(
        0.0, description="How far the nozzles hang below the element's lower end."
    )
    base: LengthOrNone = Field(
        0.0,
        description="Thrust structure, from the engines' mounts up to the lowest tank; "
        "with tanks at the side, from the element's lower end up to them.",
    )
    gap: LengthOrNone = Field(
        0.0, description="Between the domes of tanks that stand one above the other."
    )
    top: LengthOrNone = Field(
        0.0, description="Structure from the highest tank up to the element's upper end."
    )
    skirt_diameter: Length | None = Field(
        None, description="Of its lower end; default: the element's.", examples=["4 m"]
    )
    base_span: Length | None = Field(
        None, description="Across fins or whatever else stands out at its foot.", examples=["12 m"]
    )
    engine_spacing: Ratio = Field(
        SPACING,
        description="Distance between engines' centres, in diameters of their nozzles; "
        "common practice is 1.2.",
        examples=[1.2],
    )
    tanks: dict[Key, TankBuild] = Field({}, description="Tanks that differ from the others.")
