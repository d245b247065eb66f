"""Home sooner on the way home: what an engine still has is spent on speed.

The least burn that meets the air at the plan's angle in a shorter time, targeted on integrated
arcs. Slower ways are of no use to anybody. Crew safety rests on this: a planning study's figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import ceil

import numpy as np

from mplan.contingencies.ways_out.burners import (
    Burner,
    LostEngines,
    burners,
    uncontrolled,
    unqualified,
)
from mplan.contingencies.ways_out.coming_down import comes_down
from mplan.contingencies.ways_out.on_the_way_home.arc_home import (
    ArcHome,
    arc_home,
    corrections_ahead,
)
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut
from mplan.flight.record import Flight
from mplan.flight.state import Arc, Craft, State
from mplan.physics import constants as c
from mplan.physics.arcs.homeward import ROUGH, Homeward, correct_return
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.rocket import burn_time, propellant
from mplan.vehicle.same import Same

READY = 60.0 * c.MINUTE  # from the call to the burn: to aim and turn (common practice, no source)
EVERY = 2.0 * c.HOUR  # s, between burns that are looked at, so that calls share them
LEAST = 50.0  # m/s, below which next to nothing is gained
GAIN = 1.0 * c.HOUR  # s, below which it is not told of
FIRST = 0.06  # of the time left, by which it is shortened to see what that takes
SPARED = 0.95  # of what is there
CLOSEST = 8.0 * c.HOUR  # s before the interface, from which nothing is to be gained


def sooner(
    point: CabinPoint, lost: LostEngines, arc: ArcHome, state: State, craft: Craft
) -> Iterator[WayOut]:
    """Yield the way home sooner by the engine of the craft that has most, if that gains an hour.

    What the plan's corrections take is kept back.
    """
    flight, lift_off = point.flight, point.flight.end.lift_off
    at = EVERY * ceil((point.elapsed + READY) / EVERY)
    able = max(burners(state, craft, lost), key=lambda x: x.available(state, craft), default=None)
    if able is None or lift_off + at > arc.interface.t - CLOSEST:
        return
    kept = sum(x.required for x in corrections_ahead(flight, point.elapsed))
    there = able.available(state, craft) - kept
    if there < LEAST:
        return
    found = _hastened(Same(flight), at, LEAST * int(there / LEAST))
    if found is None or arc.interface.t - found.interface.t < GAIN:
        return
    yield _told(point, able, state, craft, found)


def _told(point: CabinPoint, burner: Burner, state: State, craft: Craft, found: Homeward) -> WayOut:
    lift_off, there = point.flight.end.lift_off, burner.available(state, craft)
    burn = WayBurn(
        "burn for a faster return", *burner.key, found.t - lift_off, found.delta_v, there
    )
    down = comes_down(point.before, found.interface, sum(state.crew.get(x, 0) for x in craft))
    drawn = propellant(burner.isp, state.mass(craft), found.delta_v)
    seconds = burn_time(burner.thrust, burner.isp, drawn)
    wrong = uncontrolled(point.flight, state, craft, burner)
    wrong = wrong or unqualified(state, burner, seconds, 1)
    return WayOut(
        name=f"faster return by {burner.title}",
        called=point.elapsed,
        craft=craft,
        burns=(burn,),
        home=down.t - lift_off,
        lands=down.place,
        closed=wrong or down.closed,
        note=down.note,
        estimate=down.estimate,
        arcs=(Arc(found.r, found.v, found.t, found.interface.t),),
    )


@lru_cache(maxsize=256)
def _hastened(of: Same[Flight], elapsed: float, there: float) -> Homeward | None:
    """Return the soonest way home that a velocity `there` [m/s] gives; None where none is found.

    The time is shortened a little, and then by as much more as that has cost less than is there.
    """
    flight, arc = of.it, arc_home(of.it)
    assert arc is not None
    here = arc.at(flight.end.lift_off + elapsed)
    leaving = LunarOrbit(here.t, here.lunar_r, here.lunar_v, arc.degree)
    left, angle = arc.interface.t - here.t, flight.scenario.orbits.entry_angle
    share, burn, best = FIRST, np.zeros(3), None
    for _ in range(3):
        try:
            found = correct_return(leaving, burn, left * (1.0 - share), angle, ROUGH)
        except ArithmeticError:
            return best
        if found.delta_v <= there:
            best = found
        more = SPARED * there / found.delta_v
        burn, share = found.burn * more, min(0.6, share * more)
        if 0.97 < more < 1.03:
            break
    return best
