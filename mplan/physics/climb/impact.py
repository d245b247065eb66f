"""Where what is dropped, or what does not reach orbit, comes down: a fall without air.

Air would shorten the way of a tumbling stage by some per cent and break it up: the places are
for keeping ships and aircraft out of the way only after the range authority's own reckoning.
"""

from __future__ import annotations

from math import acos, cos, sin
from typing import NamedTuple

from mplan.physics.bodies.earth import geocentric_latitude
from mplan.physics.climb.launch_vehicle import NOMINAL, LaunchVehicle
from mplan.physics.climb.motion import COASTING, Numbers, altitude, climb_step, rates_of
from mplan.physics.climb.track import ground_place

STEP = 10.0  # s
LONGEST = 7200.0  # s, a revolution and more: what has not come down by then stays up
_BODY = LaunchVehicle(1.0, (), 0.0)


class Impact(NamedTuple):
    """A place on the ground: geocentric latitude, longitude east of the pad, range [rad]; t [s].

    The range is the angle at Earth's centre from the pad.
    """

    name: str
    t: float
    latitude: float
    east: float
    range: float


def impact(name: str, t: float, s: Numbers, pad_latitude: float) -> Impact | None:
    """Return where a body let go at `t` [s] in a state comes down, or None if it stays up."""
    rates = rates_of(_BODY, NOMINAL, COASTING, _nowhere)
    s, end = (*s[:6], 1.0, *s[7:]), t + LONGEST
    height = altitude(s)
    while t < end:
        after = climb_step(rates, t, s, STEP)
        lower = altitude(after)
        if lower <= 0.0:
            part = STEP * max(0.0, height) / (max(0.0, height) - lower)
            return _at(name, t + part, climb_step(rates, t, s, part), pad_latitude)
        t, s, height = t + STEP, after, lower
    return None


def _at(name: str, t: float, s: Numbers, pad_latitude: float) -> Impact:
    latitude, east = ground_place(t, s)
    pad = geocentric_latitude(pad_latitude)
    along = sin(pad) * sin(latitude) + cos(pad) * cos(latitude) * cos(east)
    return Impact(name, t, latitude, east, acos(max(-1.0, min(1.0, along))))


def _nowhere(t: float, s: Numbers, u: tuple[float, float, float], size: float) -> tuple:
    return (0.0, 0.0, 0.0)
