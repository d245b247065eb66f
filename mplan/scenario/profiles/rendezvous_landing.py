"""A lander leaves the ship in lunar orbit, lands, and comes back to it."""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs, pieces
from mplan.scenario.profiles.pieces import Written

NAME = "lunar-orbit-rendezvous landing"
NEEDS = needs.Needs(
    roles=(*needs.CRAFT, "descent stage", "ascent stage"),
    keys=(
        "landing_site",
        "mission.surface_stay",
        *needs.COASTS,
        "orbits.lunar_altitude",
        "orbits.descent_perilune",
        "orbits.ascent_perilune",
        "orbits.ascent_apolune",
        *needs.HOME,
    ),
    steps=(
        *needs.DEPARTURE,
        *needs.CAPTURE,
        *needs.DESCENT,
        "stay",
        "lunar ascent",
        "rendezvous",
        *needs.RETURN,
        *needs.ARRIVAL,
    ),
    refuses={
        "mission.lunar_orbit_stay": "the landing decides it",
        **needs.FROM_A_CIRCLE,
        **needs.FLYBY_ONLY,
    },
    people="some land",
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb."""
    service = pieces.one(data, "service module")
    return [
        *pieces.outbound(data, service, takes_out=pieces.one(data, "ascent stage")),
        *pieces.into_lunar_orbit(data, service),
        *_to_the_lander(data, service),
        *_to_the_surface(data),
        *_back_to_orbit(data),
        pieces.burn("trans-Earth injection", service),
        *pieces.homeward(data, service),
    ]


def _to_the_lander(data: raw.Data, service: str) -> list[Written]:
    """Meet the lander, where it was sent ahead to lunar orbit with a stage of its own."""
    crew, _, ascent = _lander(data)
    own = {*raw.stack(data), *pieces.waiting_in_earth_orbit(data)}
    if ascent in own:
        return []
    meeting = pieces.burn("lunar-orbit rendezvous", service)
    return [
        {**meeting, **pieces.by_thrusters(data, service)},
        pieces.dock("docking to the lander", crew, ascent, "1 h"),
        *([pieces.jettison(*brought)] if (brought := pieces.brought_by(data, ascent)) else []),
    ]


def _to_the_surface(data: raw.Data) -> list[Written]:
    crew, descent, ascent = _lander(data)
    return [
        pieces.coast("checks in lunar orbit", "16 h"),
        pieces.transfer(data, crew, ascent),
        {"do": "undock", "elements": [descent, ascent], "duration": "30 min"},
        *pieces.down(descent),
        {"do": "stay"},
    ]


def _back_to_orbit(data: raw.Data) -> list[Written]:
    crew, descent, ascent = _lander(data)
    return [
        pieces.jettison(descent),
        pieces.burn("lunar ascent", ascent),
        {**pieces.burn("rendezvous", ascent), **pieces.by_thrusters(data, ascent)},
        pieces.dock("docking in lunar orbit", ascent, crew, "30 min"),
        pieces.transfer(data, ascent, crew),
        pieces.jettison(ascent),
        pieces.coast("coast to the return burn", "6 h"),
    ]


def _lander(data: raw.Data) -> tuple[str, str, str]:
    roles = ("crew module", "descent stage", "ascent stage")
    crew, descent, ascent = (pieces.one(data, role) for role in roles)
    return crew, descent, ascent
