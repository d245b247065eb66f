"""One revolution about the Moon: how long out of contact, how long in shadow."""

from __future__ import annotations

from math import asin
from typing import NamedTuple

import numpy as np

from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast, places_ahead
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.sight import hidden
from mplan.physics.vectors import unit
from mplan.plan import Plan

POINTS = 720  # of a revolution: ten seconds apart on a low circle


class Revolution(NamedTuple):
    """A lunar orbit as it lies at `t` [TDB s]; times in [s], angles in [rad]."""

    t: float
    period: float
    out_of_contact: float  # Earth's centre behind the Moon
    in_shadow: float  # the Sun's centre behind the Moon
    earth_angle: float  # of Earth out of the orbit's plane
    sun_angle: float  # of the Sun out of it


def of(orbit: LunarOrbit) -> Revolution:
    """Return what one revolution sees, Earth and Sun held still for it."""
    waits, places, _ = places_ahead(orbit, POINTS)
    lasts = np.diff(waits, prepend=0.0)
    luna = ephemeris.moon(orbit.t).r
    earth, sun = -luna, ephemeris.sun(orbit.t).r - luna
    return Revolution(
        orbit.t,
        orbit.period,
        float(lasts @ hidden(places, earth)),
        float(lasts @ hidden(places, sun)),
        asin(float(unit(earth) @ orbit.normal)),
        asin(float(unit(sun) @ orbit.normal)),
    )


def through_stay(plan: Plan, count: int = 5) -> tuple[Revolution, ...]:
    """Return `count` revolutions spread from lunar-orbit insertion to the return burn.

    () for a mission that does not enter lunar orbit.
    """
    home = plan.flight.end.homeward
    if home is None:
        return ()
    arrival = plan.flight.end.outbound.perilune.t
    return tuple(
        of(coast(home.leaving, t - home.t)) for t in np.linspace(arrival, home.t, count).tolist()
    )
