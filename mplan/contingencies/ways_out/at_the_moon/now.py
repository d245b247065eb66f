"""The state of a mission at any moment between two events: what has been drawn, who is where."""

from __future__ import annotations

from functools import lru_cache

from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight import boil_off
from mplan.flight.housekeeping import drawing
from mplan.flight.living.drawn import drawn as lived
from mplan.flight.record import Passage
from mplan.flight.state import State
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.vehicle.same import Same


def state_at(point: CabinPoint) -> State:
    """Return the state at a point: drawn and lived up to it, the ship gone on round the Moon.

    While a burn of this craft is on it is that before the burn: what it has drawn and where it has
    led by then is for `stopped`.
    """
    return _state_at(Same(point.passage), point.elapsed)


@lru_cache(maxsize=256)  # asked for by each failure at one time
def _state_at(of: Same[Passage], elapsed: float) -> State:
    passage = of.it
    before = passage.before
    at = before.later(elapsed - before.elapsed)
    at = drawing.coasted(boil_off.drawn(at), named=passage.event.control)
    return lived(at, before, passage.event)


def lander_orbit(state: State) -> LunarOrbit:
    """Return the orbit of the lander now: its own, or the ship's while it has none."""
    own = state.lander
    return state.orbit if own is None else coast(own, state.t - own.t)
