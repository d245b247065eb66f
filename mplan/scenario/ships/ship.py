"""A ship of the mission that is launched on its own, beside the one that the file is about."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from mplan.scenario.events import Event
from mplan.scenario.table import Key, Name, TomlTable

Tables = dict[str, Any]  # keys of one table; they are checked with those of the file under them


class OtherShip(TomlTable):
    """A ship launched on its own: its stack, and what differs from the tables of the file.

    Pad, day, climb, orbits and the rest are those of the file where nothing else is stated. Of one
    that an earlier mission left in lunar orbit only that mission's file and what is taken up.
    """

    left_by: Name | None = Field(
        None,
        description="Scenario file, beside this one, of an earlier mission that left it in lunar "
        "orbit: that mission is flown, and the ship is as it leaves it. Default: it is launched.",
        examples=["lander_ahead.toml"],
    )
    stack: Annotated[tuple[Key, ...], Field(min_length=1)] = Field(
        description="Its elements from its own pad up; of one that was left, those that are left.",
        examples=[["first_stage", "tanker"]],
    )
    mission: Tables = Field(
        {},
        description="Its profile, and what differs from [mission]; it flies without crew.",
        examples=[{"payload_down": "2 t"}],
    )
    landing_site: Tables = Field({}, description="What differs from [landing_site].")
    launch_site: Tables = Field({}, description="What differs from [launch_site].")
    dates: Tables = Field({}, description="What differs from [dates].")
    climb: Tables = Field({}, description="What differs from [climb].")
    orbits: Tables = Field({}, description="What differs from [orbits].")
    margins: Tables = Field({}, description="What differs from [margins].")
    orbit_upkeep: Tables = Field(
        {}, description="How it keeps its lunar orbit while it waits; default: not at all."
    )
    events: tuple[Event, ...] = Field(
        (), description="What happens to it until it is met; default: its profile's usual course."
    )
