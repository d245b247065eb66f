"""A lander without a crew goes to the Moon's surface and stays there."""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs, pieces
from mplan.scenario.profiles.pieces import Written

NAME = "cargo landing"
NEEDS = needs.Needs(
    roles=("launch stage", "descent stage"),
    keys=("landing_site", needs.OUT, "orbits.lunar_altitude", "orbits.descent_perilune"),
    steps=(*needs.DEPARTURE, *needs.CAPTURE, *needs.DESCENT),
    refuses={"recovery": "it stays on the Moon", **needs.FROM_A_CIRCLE, **needs.FLYBY_ONLY},
    people="none",
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb.

    A service module, or a second transfer stage, brings the lander down to its descent orbit and
    is let go there; else the lander does it all.
    """
    lander = pieces.one(data, "descent stage")
    movers = raw.with_role(data, "service module") + raw.with_role(data, "transfer stage")[1:]
    mover = [*movers, lander][0]
    return [
        *pieces.outbound(data, mover),
        *pieces.into_lunar_orbit(data, mover),
        pieces.coast("checks in lunar orbit", "4 h"),
        *pieces.down(lander, lowers=mover),
    ]
