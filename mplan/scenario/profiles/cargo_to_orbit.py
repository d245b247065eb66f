"""A ship without a crew goes into lunar orbit and stays there."""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs, pieces
from mplan.scenario.profiles.pieces import Written

NAME = "cargo to lunar orbit"
NEEDS = needs.Needs(
    roles=("launch stage",),
    keys=(needs.OUT, "orbits.lunar_altitude"),
    steps=(*needs.DEPARTURE, *needs.CAPTURE),
    refuses={"recovery": "it stays at the Moon", **needs.FLYBY_ONLY},
    people="none",
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb.

    A service module flies them; else a second transfer stage, else a lander that is sent ahead.
    """
    movers = [
        *raw.with_role(data, "service module"),
        *raw.with_role(data, "transfer stage")[1:],
        *raw.with_role(data, "descent stage"),
        *raw.with_role(data, "transfer stage")[:1],
        *raw.with_role(data, "launch stage")[-1:],
    ]
    return [*pieces.outbound(data, movers[0]), *pieces.into_lunar_orbit(data, movers[0])]
