"""The ship goes into lunar orbit, stays there and comes home."""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs, pieces
from mplan.scenario.profiles.pieces import Written

NAME = "lunar orbit and return"
NEEDS = needs.Needs(
    roles=needs.CRAFT,
    keys=("mission.lunar_orbit_stay", *needs.COASTS, "orbits.lunar_altitude", *needs.HOME),
    steps=(*needs.DEPARTURE, *needs.CAPTURE, "stay", *needs.RETURN, *needs.ARRIVAL),
    refuses={**needs.LANDING_ONLY, **needs.FLYBY_ONLY},
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb."""
    service = pieces.one(data, "service module")
    return [
        *pieces.outbound(data, service),
        *pieces.into_lunar_orbit(data, service),
        {"do": "stay"},
        pieces.burn("trans-Earth injection", service),
        *pieces.homeward(data, service),
    ]
