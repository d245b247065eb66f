"""The wind that a stack climbs through: the table [climb.wind]."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from mplan.scenario.quantities import Quantity
from mplan.scenario.table import Name, TomlTable

WindAltitude = Annotated[
    float, Quantity("length", at_least="-500 m", at_most="100 km", example="12 km")
]
WindSpeed = Annotated[
    float, Quantity("speed", at_least="0 m/s", at_most="200 m/s", example="45 m/s")
]
WindFrom = Annotated[
    float, Quantity("angle", at_least="-360 deg", at_most="360 deg", example="270 deg")
]


class ClimbWind(TomlTable):
    """The wind over the altitude."""

    origin: Name | None = Field(
        None,
        alias="from",
        description="CSV file with the columns altitude, speed and from, units in its header.",
        examples=["winds/winter_westerly.csv"],
    )
    rows: Annotated[
        tuple[tuple[WindAltitude, WindSpeed, WindFrom], ...], Field(min_length=2, max_length=5000)
    ] = Field(
        description="Altitude, speed and where it comes from, counted from north through east; by "
        "rising altitude. Below the lowest row the wind is that row's, above the highest it fades "
        "out up to 80 km.",
        examples=[[["0 km", "5 m/s", "90 deg"], ["12 km", "45 m/s", "270 deg"]]],
    )
