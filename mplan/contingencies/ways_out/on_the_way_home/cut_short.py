"""A return burn cut short: the orbit about the Moon or the arc that results, and what mends it.

The burn is integrated up to the time it stops, its thrust turning with the orbit as it does when
the whole of it is flown. Crew safety rests on this: a planning study's figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from math import inf

from mplan.contingencies.ways_out.at_the_moon.cut_change import drawn, pushed_for
from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import Leaving, ways_home
from mplan.contingencies.ways_out.at_the_moon.rejoin import lacks
from mplan.contingencies.ways_out.burners import (
    Burner,
    LostEngines,
    burners,
    uncontrolled,
    unqualified,
)
from mplan.contingencies.ways_out.coming_down import comes_down
from mplan.contingencies.ways_out.mending import mended
from mplan.contingencies.ways_out.outbound import to_the_moon
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut
from mplan.flight.record import BurnRecord
from mplan.flight.state import Arc, Craft, State
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import Homeward
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.arcs.orbit import apsides
from mplan.physics.rocket import burn_time, propellant
from mplan.physics.vectors import cross, length
from mplan.vehicle.same import Same

BOUND = 2.0e7  # m, apolune radius up to which the Moon keeps an ellipse for a few revolutions


def ways(point: CabinPoint, burn: BurnRecord, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out once a return burn has stopped, at the time of the point."""
    home = point.passage.after.homeward
    if home is None:
        return
    end = stopped(Same(home), Same(burn), point.elapsed)
    state = drawn(point, burn)
    craft = state.joined(point.cabin)
    orbit = LunarOrbit(end.t, end.lunar_r, end.lunar_v, home.leaving.degree)
    low, high = apsides(orbit) if orbit.a > 0.0 else (0.0, inf)
    if high < BOUND:
        leaving = Leaving(point.flight, state, craft, orbit, point.before, point.elapsed, lost)
        heights = [f"{(x - c.R_MOON) / 1e3:,.0f}" for x in (low, high)]
        left = f"stopped in an orbit of {heights[0]} by {heights[1]} km"
        for way in ways_home(leaving):
            yield replace(way, note="; ".join(x for x in (left, way.note) if x))
        return
    alone = [_mended(point, x, state, craft, end) for x in burners(state, craft, lost)]
    yield from alone
    if all(x.closed for x in alone):
        begin = nbody.ArcStart(end.r, end.v, end.t, 0.0)
        adrift = OnTheWay(point.flight, point.cabin, state, point.before, begin, lost)
        yield from to_the_moon.leaving_in_turn(adrift)


@lru_cache(maxsize=256)
def stopped(home: Same[Homeward], of: Same[BurnRecord], elapsed: float) -> Arrival:
    """Return the state when a return burn stops at a time [s since lift-off], integrated."""
    flown, burn = home.it, of.it
    start, leaving = burn.at_ignition.orbit, flown.leaving
    rate = length(cross(leaving.r, leaving.v)) / float(leaving.r @ leaving.r)
    end = pushed_for(burn, start, elapsed - burn.elapsed, flown.burn, rate, leaving)
    return nbody.fly_arc(end.r, end.v, end.t, 0.0, degree=leaving.degree)


def _mended(point: CabinPoint, burner: Burner, state: State, craft: Craft, end: Arrival) -> WayOut:
    """Return the way home from an arc that the Moon does not keep: one burn mends it."""
    name, lift_off = f"midcourse correction by {burner.title}", state.lift_off
    there, angle = burner.available(state, craft), state.scenario.orbits.entry_angle
    found = mended(Same(end), angle, there)
    if found is None:
        why = "no burn was found that leads this arc home"
        return WayOut(name, point.elapsed, craft, closed=why)
    burn = WayBurn("midcourse correction", *burner.key, found.t - lift_off, found.delta_v, there)
    drawn = propellant(burner.isp, state.mass(craft), found.delta_v)
    seconds = burn_time(burner.thrust, burner.isp, drawn)
    down = comes_down(point.before, found.interface, sum(state.crew.get(x, 0) for x in craft))
    wrong = uncontrolled(point.flight, state, craft, burner)
    wrong = wrong or unqualified(state, burner, seconds, 1)
    wrong = lacks(burn) if burn.margin < 0.0 else wrong
    here = nbody.fly_arc(end.r, end.v, end.t, found.t - end.t)
    return WayOut(
        name=name,
        called=point.elapsed,
        craft=craft,
        burns=(burn,),
        home=down.t - lift_off,
        lands=down.place,
        closed=wrong or down.closed,
        note="; ".join(x for x in ("the return burn cut short", down.note) if x),
        estimate=down.estimate,
        arcs=(
            Arc(end.r, end.v, end.t, found.t),
            Arc(here.r, here.v + found.burn, found.t, found.interface.t),
        ),
    )
