"""What limits a way out beside its burns: suits once a cabin leaks, supplies, stored energy."""

from __future__ import annotations

from dataclasses import replace

from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.lasting import Aboard, still_there
from mplan.contingencies.ways_out.point import CabinPoint, Stretch
from mplan.contingencies.ways_out.sheltering import LEAK, in_shelter
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.state import Craft
from mplan.physics.constants import HOUR
from mplan.vehicle.stack import with_role

MINUTES: tuple[Stretch, ...] = ("pad", "climb", "entry")  # over before suits matter


def limited(way: WayOut, point: CabinPoint, failure: FailureName) -> WayOut:
    """Return a way out with what is left at its end, closed where crew or cabin do not last to it.

    Of a cabin that leaks, the end is where the crew leave it, be that the splash or the ship. They
    are in another cabin while one is there and lasts (`sheltering`), else in suits all the way.
    Who wears suits for minutes needs none.
    """
    if way.closed or way.home is None:
        return way
    aboard = _aboard(way, point)
    if failure != LEAK or point.stretch in MINUTES:
        found = replace(way, left=still_there(point, way.home, failure, [aboard]))
        return replace(found, closed=runs_out(found))
    return _leaking(way, point, aboard)


def _leaking(way: WayOut, point: CabinPoint, aboard: Aboard) -> WayOut:
    """Return a way home from a cabin that leaks: in a shelter if that can be, else in suits."""
    sheltered = in_shelter(way, point, aboard.craft)
    if sheltered is not None:
        sheltered = replace(sheltered, closed=_in_suits(sheltered, point) or runs_out(sheltered))
        if not sheltered.closed:
            return sheltered
    left = still_there(point, aboard.until, LEAK, [aboard])
    worn = replace(way, left=left, suited=aboard.until - point.elapsed)
    worn = replace(worn, closed=_in_suits(worn, point) or runs_out(worn))
    return sheltered if worn.closed and sheltered is not None else worn


def _aboard(way: WayOut, point: CabinPoint) -> Aboard:
    """Return who lives where: all of this craft in what comes home, where that is what burns.

    Who is elsewhere lives on what is there, which is another way out.
    """
    state, home = point.before, with_role(point.flight.scenario, "crew module")
    crew = {x: n for x, n in state.crew.items() if x in point.craft}
    if home in way.craft and home in point.craft:
        crew = {home: sum(crew.values())}
    return Aboard(way.home or 0.0, crew, rejoined(state.craft, way.craft))


def rejoined(craft: tuple[Craft, ...], burns: Craft) -> tuple[Craft, ...]:
    """Return what is joined to what once the craft that `burns` has dropped all else."""
    rest = (tuple(x for x in each if x not in burns) for each in craft)
    return (burns, *(each for each in rest if each)) if burns else craft


def _in_suits(way: WayOut, point: CabinPoint) -> str:
    """Return why suits do not last that long; "" where they do."""
    most = point.flight.scenario.aborts.suited_time
    if way.suited <= most:
        return ""
    return f"{way.suited / HOUR:.1f} h in suits, and aborts.suited_time is {most / HOUR:.1f} h"


def runs_out(way: WayOut) -> str:
    """Return what is used up before the end of a way; "" where all lasts, or is not known."""
    left = way.left
    if left is None:
        return ""
    if left.days is not None and left.days < 0.0:
        return f"{left.supply} runs out {-left.days:.1f} d before its end"
    if left.energy is not None and left.energy < 0.0:
        return "stored energy is used up before its end"
    return ""
