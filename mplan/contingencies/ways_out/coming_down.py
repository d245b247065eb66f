"""From the entry interface to the water: how a way out ends, flown as the plan's own entry is.

An entry outside its corridor kills: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from mplan.contingencies.ways_out.way_out import LandingPlace
from mplan.flight import entry
from mplan.flight.state import State
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.constants import G0
from mplan.vehicle.evolved import evolved
from mplan.vehicle.same import Same
from mplan.vehicle.stack import crew_module


class ComingDown(NamedTuple):
    """The end of a way: when [TDB s] and where; `closed` says why nobody lives through it."""

    t: float
    place: LandingPlace
    closed: str = ""
    note: str = ""
    estimate: str = ""


def comes_down(state: State, interface: Arrival, crew: int) -> ComingDown:
    """Return how the crew module comes down from an interface with `crew` people in it.

    It weighs what it weighs in that state, which may be one of some hours before: what they use
    meanwhile is some kilograms. An estimate where it has no aeroshell or parachutes.
    """
    return _down(Same(state), Same(interface), crew)


@lru_cache(maxsize=512)  # a way home is the same for all that fails in one revolution
def _down(of: Same[State], at: Same[Arrival], crew: int) -> ComingDown:
    interface, home = at.it, crew_module(of.it.scenario)
    alone = evolved(of.it, craft=((home,),), crew={home: crew})
    flown = entry.come_down(alone, interface, home)
    if flown is None:
        splash = entry.straight_on(interface, entry.aimed_range(of.it.scenario))
        place = LandingPlace(splash.latitude, splash.longitude)
        return ComingDown(splash.t, place, estimate=f"splash: {splash.estimate}")
    splash, load = flown.splash, flown.flown.peak.load
    place = LandingPlace(splash.latitude, splash.longitude)
    if not flown.lands:
        return ComingDown(splash.t, place, closed="the entry skips out")
    most, limit = of.it.scenario.aborts.peak_load * G0, flown.limit
    if load > max(most, limit):
        return ComingDown(splash.t, place, closed=f"the crew bear {load / G0:.1f} g")
    over = f", above the {limit / G0:.0f} g it is made for" if load > limit else ""
    return ComingDown(splash.t, place, note=f"entry at up to {load / G0:.1f} g{over}")
