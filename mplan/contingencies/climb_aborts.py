"""The abort modes of a climb at one point of it, each with the reason where it is closed.

An estimate, for planning: which aborts a crew may rely on is decided by licensed practice.
"""

from __future__ import annotations

from mplan.contingencies import abort_to_orbit, return_to_splash, tower_escape
from mplan.contingencies.climb_point import AbortMode, ClimbPoint


def abort_modes(point: ClimbPoint) -> tuple[AbortMode, ...]:
    """Return every abort mode at a point of the climb: tower, back to Earth, on to orbit."""
    if point.index is None:
        return (tower_escape.tower_mode(point),)
    orbit = abort_to_orbit.orbit_modes(point)
    return (tower_escape.tower_mode(point), return_to_splash.splash_mode(point), *orbit)
