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


def is_covered(point: ClimbPoint) -> bool:
    """Tell whether any abort mode is open at a point in flight.

    A fall back to Earth, which is flown through the air, is asked for last.
    """
    return (
        any(not mode.closed for mode in abort_to_orbit.orbit_modes(point))
        or not tower_escape.tower_mode(point).closed
        or not return_to_splash.splash_mode(point).closed
    )
