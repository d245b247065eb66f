"""Through the air to splashdown: an estimate until the entry is flown.

Peak acceleration, heating and the parachutes are left blank rather than guessed. An entry
outside its corridor kills: this is a planning study, and entry design belongs to licensed
practice with its own analysis.
"""

from __future__ import annotations

from typing import NamedTuple

from mplan.physics.downrange import place_ahead
from mplan.physics.nbody import Arrival

DURATION = 15.0 * 60.0  # s, interface to splash (common practice, no source)
DOWNRANGE = 2.4e6  # m over the ground (common practice, no source; a lifting entry can vary it)
ESTIMATE = "fixed time and downrange from the interface"


class Splash(NamedTuple):
    """Where [rad, geodetic, east positive] and when [TDB s] the crew comes down."""

    t: float
    latitude: float
    longitude: float


def splash(interface: Arrival) -> Splash:
    """Return the estimated splash: straight on from the interface, over the turning Earth."""
    latitude, longitude = place_ahead(interface.r, interface.v, interface.t, DOWNRANGE)
    return Splash(interface.t + DURATION, latitude, longitude)
