"""The kinds of mission, a file each: what each needs to be told, and the events it goes through.

`default_events` writes what a file without events of its own leaves out; a planner who wants
another order pastes `as_toml(default_events(...))` into the file and edits it there. Outside this
room nothing asks what a mission's profile is called: it asks the scenario's keys and events, the
state flown, or what the profile needs (`NEEDS`).
"""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import (
    cargo_landing,
    cargo_to_orbit,
    direct_landing,
    earth_orbit,
    flyby,
    orbit_and_return,
    pieces,
    rendezvous_landing,
    return_stage_landing,
)
from mplan.scenario.profiles.names import (
    APOLUNE_CHANGE,
    CIRCULARISATION,
    FREE_RETURN,
    HYBRID,
    HYBRID_TRANSFER,
    PLANE_CHANGE,
    UPKEEP,
)
from mplan.scenario.profiles.needs import CORRECTIONS
from mplan.scenario.profiles.pieces import Written
from mplan.scenario.profiles.written import as_toml

__all__ = [
    "APOLUNE_CHANGE",
    "CIRCULARISATION",
    "CORRECTIONS",
    "FREE_RETURN",
    "HYBRID",
    "HYBRID_TRANSFER",
    "NEEDS",
    "PLANE_CHANGE",
    "UPKEEP",
    "as_toml",
    "default_events",
]

_PROFILES = (
    rendezvous_landing,
    orbit_and_return,
    flyby,
    direct_landing,
    return_stage_landing,
    cargo_landing,
    cargo_to_orbit,
    earth_orbit,
)
NEEDS = {each.NAME: each.NEEDS for each in _PROFILES}
_EVENTS = {each.NAME: each.events for each in _PROFILES}


def default_events(data: raw.Data) -> list[Written]:
    """Return the events of the mission's profile for its stack, as a file would state them.

    `data` holds the scenario's tables as written (quantities as text), with a known profile and
    an element for each role it needs.
    """
    profile = data["mission"]["profile"]
    departs = "translunar injection" in NEEDS[profile].steps
    up = pieces.to_parking_orbit(data) if departs else pieces.to_orbit_and_stay(data)
    return [*up, *_EVENTS[profile](data)]
