"""Where and when an entry comes down."""

from __future__ import annotations

from typing import NamedTuple

from mplan.physics.arcs.nbody import Arrival
from mplan.physics.bodies import earth
from mplan.physics.bodies.downrange import place_ahead, wrapped
from mplan.physics.entry.entry_flight import EntryFlight
from mplan.physics.entry.over_ground import geodetic_place

DURATION = 15.0 * 60.0  # s, interface to splash of an entry that is not flown (common practice)
NOT_FLOWN = "fixed time and downrange from the interface"
SKIPPED = "the entry skips out; fixed time and downrange instead"


class Splash(NamedTuple):
    """Where [rad, geodetic, east positive] and when [TDB s] the crew comes down.

    `downrange` [m] over the ground from the interface; `estimate` says where all this comes from
    if it is not flown.
    """

    t: float
    latitude: float
    longitude: float
    downrange: float
    estimate: str = ""


def straight_on(interface: Arrival, aimed: float, why: str = NOT_FLOWN) -> Splash:
    """Return the estimated splash: straight on by `aimed` [m], over the turning Earth."""
    latitude, longitude = place_ahead(interface.r, interface.v, interface.t, aimed)
    return Splash(interface.t + DURATION, latitude, longitude, aimed, why)


def place(flown: EntryFlight, t: float, descent: float) -> Splash:
    """Return where and when an entry begun at `t` [TDB s] ends up, straight below its drogues.

    `descent`: how long it takes from there [s].
    """
    last = flown.rows[-1]
    latitude, longitude = geodetic_place(last.state, last.t)
    longitude = wrapped(longitude - earth.sidereal_angle(t))
    return Splash(t + last.t + descent, latitude, longitude, flown.range)
