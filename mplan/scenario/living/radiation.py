"""The dose that a crew may take up."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from mplan.scenario.quantities import Quantity
from mplan.scenario.table import TomlTable

DoseEquivalent = Annotated[
    float,
    Quantity("dose equivalent", at_least="1 mSv", at_most="10 Sv", why="people", example="150 mSv"),
]


class RadiationLimit(TomlTable):
    """What the mission's dose is held against; a solar event is not part of it."""

    dose_limit: DoseEquivalent = Field(
        description="Dose equivalent of one person in the whole mission: what its programme "
        "allows. A career's limit of 600 mSv is in NASA-STD-3001 volume 1, 2022 (from memory).",
    )
