"""What a profile needs to be told, and which keys it has no use for."""

from __future__ import annotations

from typing import Literal, NamedTuple


class Needs(NamedTuple):
    """Roles in the stack, keys and steps (milestones) a profile needs, and keys it has no use for.

    `people` tells who is aboard: a crew of whom some or all land, or nobody does, or no crew.
    """

    roles: tuple[str, ...]
    keys: tuple[str, ...]
    steps: tuple[str, ...]
    refuses: dict[str, str]
    people: Literal["some land", "all land", "aboard", "none"] = "aboard"


CRAFT = ("launch stage", "service module", "crew module")
OUT = "dates.translunar_time"
COASTS = (OUT, "dates.transearth_time")
HOME = ("mission.crew_mass", "orbits.entry_angle")  # of a crew that comes home
DECIDED = (*COASTS, "dates.launch_time")
CORRECTIONS = ("allowances.outbound_correction", "allowances.homeward_correction")

DEPARTURE = (
    "lift-off",
    "climb",
    "parking-orbit coast",
    "translunar injection",
    "translunar coast",
)
CAPTURE = ("lunar-orbit insertion",)
DESCENT = (
    "descent-orbit insertion",
    "descent coast",
    "powered descent",
    "touchdown on the Moon",
)
RETURN = ("trans-Earth injection",)
ARRIVAL = ("transearth coast", "atmospheric entry", "splashdown")

LANDING_ONLY = dict.fromkeys(
    (
        "landing_site",
        "mission.surface_stay",
        "orbits.heights_above",
        "orbits.approach_azimuth",
        "orbits.plane_turn",
        "orbits.descent_perilune",
        "orbits.ascent_perilune",
        "orbits.ascent_apolune",
        "descent",
        "lunar_ascent",
        "rendezvous",
    ),
    "it does not land",
)
FREE_ORBIT = ("lunar_apolune", "lunar_inclination", "lunar_argument_of_perilune")
ORBIT_ONLY = dict.fromkeys(
    (
        *(f"orbits.{key}" for key in FREE_ORBIT),
        "orbits.capture_revolutions",
        "orbits.translunar_arc",
        "orbits.free_return_perilune",
        "orbits.lunar_altitude",
        "orbits.capture_apolune",
        "orbits.capture_plane_change",
        "mission.lunar_orbit_stay",
    ),
    "it does not enter lunar orbit",
)
FROM_A_CIRCLE = {
    **dict.fromkeys(
        ("orbits.lunar_apolune", "orbits.lunar_argument_of_perilune"),
        "its landing begins in a circle, of orbits.lunar_altitude",
    ),
    "orbits.lunar_inclination": "its landing site decides the plane, or orbits.approach_azimuth",
}
FLYBY_ONLY = {"orbits.flyby_altitude": "it enters lunar orbit"}
LANDED_AND_BACK = (
    "landing_site",
    "mission.surface_stay",
    *COASTS,
    "orbits.lunar_altitude",
    "orbits.descent_perilune",
    "orbits.ascent_perilune",
    "orbits.ascent_apolune",
    *HOME,
)
THERE_AND_BACK = (
    *DEPARTURE,
    *CAPTURE,
    *DESCENT,
    "stay",
    "lunar ascent",
    *RETURN,
    *ARRIVAL,
)
ALONE = {
    "mission.lunar_orbit_stay": "the landing decides it",
    "rendezvous": "no ship waits in lunar orbit",
    **FROM_A_CIRCLE,
    **FLYBY_ONLY,
}
