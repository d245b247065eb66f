"""A burn that changes the ship's lunar orbit, cut short: the orbit that results, and home from it.

Circularisation, a change of apolune or of the plane: integrated up to the time it stops, its
thrust turning with the orbit. Crew safety rests on this: a planning study's figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np

from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import Leaving, ways_home
from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import BurnRecord, Passage
from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.orbit import apsides
from mplan.physics.arcs.thrust_arc import ThrustArc, at_turn_rate, fly_thrust
from mplan.physics.bodies import ephemeris
from mplan.physics.vectors import cross, length
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import thrust
from mplan.vehicle.same import Same

LEAST = 1e-3  # m/s: a burn that changes less is none


def ways(point: CabinPoint, burn: BurnRecord, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways home from the orbit that a burn has led to by now."""
    away = leaving(point, burn, lost)
    low, high = apsides(away.orbit)
    heights = f"{(low - c.R_MOON) / 1e3:,.0f} by {(high - c.R_MOON) / 1e3:,.0f} km"
    left = f"{burn.name} stopped in an orbit of {heights}"
    for way in ways_home(away):
        yield replace(way, note="; ".join(x for x in (left, way.note) if x))


def leaving(point: CabinPoint, burn: BurnRecord, lost: LostEngines) -> Leaving:
    """Return the craft about to leave the orbit that a burn has led to by now."""
    orbit, state = stopped(Same(point.passage), point.elapsed), drawn(point, burn)
    craft = state.joined(point.cabin)
    return Leaving(point.flight, state, craft, orbit, point.before, point.elapsed, lost)


def drawn(point: CabinPoint, burn: BurnRecord) -> State:
    """Return the state when a burn has stopped at a point: its propellant drawn until then."""
    at, since = burn.at_ignition, point.elapsed - burn.elapsed
    engine = at.scenario.elements[burn.element].engines[burn.engine]
    spent = min(burn.propellant * since / burn.duration, burn.usable)
    ledger = at.ledger.after_burn(burn.element, burn.engine, engine, spent, since)
    return evolved(at.later(since), ledger=ledger)


@lru_cache(maxsize=256)
def stopped(of: Same[Passage], elapsed: float) -> LunarOrbit:
    """Return the orbit when the burn of a passage stops at a time [s since lift-off]."""
    burn = of.it.burn
    assert burn is not None
    at = burn.at_ignition
    half = burn.duration / 2.0
    before, after = coast(at.orbit, half), _after(of.it.after.orbit, at.t + half)
    change = after.v - before.v
    if length(change) < LEAST:
        return coast(at.orbit, elapsed - burn.elapsed)
    rate = length(cross(before.r, before.v)) / float(before.r @ before.r)
    end = pushed_for(burn, at.orbit, elapsed - burn.elapsed, change, rate, before)
    luna = ephemeris.moon(end.t)
    return LunarOrbit(end.t, end.r - luna.r, end.v - luna.v, at.orbit.degree)


def _after(orbit: LunarOrbit, t: float) -> LunarOrbit:
    """Return the orbit after a burn as it was at the burn's middle."""
    return coast(orbit, t - orbit.t)


def pushed_for(
    burn: BurnRecord,
    start: LunarOrbit,
    duration: float,
    direction: np.ndarray,
    rate: float,
    middle: LunarOrbit,
) -> ThrustArc:
    """Return where a burn's thrust leads in a time [s] from the orbit that it starts on.

    It points along `direction` in the burn's middle and turns with the orbit at a `rate` [rad/s].
    """
    engine = burn.at_ignition.scenario.elements[burn.element].engines[burn.engine]
    luna = ephemeris.moon(start.t)
    return fly_thrust(
        start.r + luna.r,
        start.v + luna.v,
        start.t,
        duration,
        thrust=thrust(engine),
        isp=engine.isp_vacuum,
        mass=burn.mass,
        steering=at_turn_rate(direction, middle.normal, rate, middle.t),
        about="Moon",
    )
