"""The ship rounds the Moon once and comes home without a burn there."""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs, pieces
from mplan.scenario.profiles.pieces import Written

NAME = "free-return flyby"
NEEDS = needs.Needs(
    roles=needs.CRAFT,
    keys=("orbits.flyby_altitude", *needs.HOME),
    steps=(*needs.DEPARTURE, *needs.ARRIVAL),
    refuses={
        **needs.LANDING_ONLY,
        **needs.ORBIT_ONLY,
        **dict.fromkeys((*needs.DECIDED, "recovery"), "it follows from the free return"),
    },
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb."""
    service = pieces.one(data, "service module")
    return [*pieces.outbound(data, service), *pieces.homeward(data, service)]
