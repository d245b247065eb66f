"""A ship is launched into Earth orbit, where another one meets it."""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs
from mplan.scenario.profiles.names import EARTH_ORBIT
from mplan.scenario.profiles.pieces import Written

NAME = EARTH_ORBIT
NEEDS = needs.Needs(
    roles=("launch stage",),
    keys=(),
    steps=("lift-off", "climb", "parking-orbit coast"),
    refuses={},
    people="none",
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb: none, what it lifts stays up."""
    return []
