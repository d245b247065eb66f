"""An insertion into lunar orbit that stops early: which orbit or arc that leaves, and the way home.

A closed orbit that stays above the ground is left at the best place of its next revolution, as any
lunar orbit; from all else the burn is made as soon as can be.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, pi, sqrt

from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import Leaving, ways_home
from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay, moon_at
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.circumlunar.coast_past import coast_past
from mplan.physics.twobody import Conic, conic, time_since_periapsis, true_anomaly_at
from mplan.physics.vectors import length

SOON = 1.5 * c.DAY  # s, the longest revolution that is waited for (our choice)
SAFE = 10e3  # m over the Moon, below which the next perilune is not waited for (our choice)


def what_is_left(way: OnTheWay) -> str:
    """Return in words which orbit about the Moon, or which arc, a burn that stops here leaves."""
    here = moon_at(way.now)
    orbit = conic(here.lunar_r, here.lunar_v, c.MU_MOON)
    meets = time_to_ground(orbit, length(here.lunar_r))
    if meets < inf:
        return f"impact on the Moon in {meets / c.HOUR:.1f} h"
    if orbit.e < 1.0:
        low, high = orbit.periapsis - c.R_MOON, orbit.a * (1.0 + orbit.e) - c.R_MOON
        return f"an orbit from {low / 1e3:,.0f} to {high / 1e3:,.0f} km over the Moon"
    past = way.perilune or nbody.fly_arc(here.r, here.v, here.t, 1.0)
    return f"an arc past the Moon that {coast_past(past).fate}"


def time_to_ground(orbit: Conic, radius: float) -> float:
    """Return the time [s] to the Moon's ground along a conic from a `radius` [m]; inf if never."""
    if orbit.periapsis >= c.R_MOON or (orbit.e >= 1.0 and orbit.true_anomaly > 0.0):
        return inf
    a, e = orbit.a, orbit.e
    if orbit.e >= 1.0 and radius <= c.R_MOON:
        return 0.0
    ground = -time_since_periapsis(a, e, true_anomaly_at(c.R_MOON, a, e), c.MU_MOON)
    wait = ground - orbit.since_periapsis
    if wait >= 0.0:
        return wait
    return wait + 2.0 * pi * sqrt(a**3 / c.MU_MOON)


def from_closed_orbit(way: OnTheWay) -> Iterator[WayOut] | None:
    """Return the ways home from an orbit that can be waited in; None where it cannot."""
    here = moon_at(way.now)
    orbit = conic(here.lunar_r, here.lunar_v, c.MU_MOON)
    closed = orbit.e < 1.0 and orbit.periapsis > c.R_MOON + SAFE
    if not closed or LunarOrbit(here.t, here.lunar_r, here.lunar_v).period > SOON:
        return None
    return ways_home(
        Leaving(
            flight=way.flight,
            state=way.state,
            craft=way.craft,
            orbit=LunarOrbit(here.t, here.lunar_r, here.lunar_v),
            stores=way.stores,
            called=way.called,
            lost=way.lost,
        )
    )


def once_inserted(point: CabinPoint, lost: LostEngines) -> Leaving:
    """Return the craft about to leave the orbit that the burn which is on leads to as planned.

    Half of the burn comes before its event.
    """
    after = next(x.after for x in point.flight.passages if x.burn is point.burning)
    craft = after.joined(point.cabin)
    return Leaving(point.flight, after, craft, after.orbit, after, point.elapsed, lost)
