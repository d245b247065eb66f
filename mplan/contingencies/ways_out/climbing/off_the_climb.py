"""Ways out on the pad and in the climb: the abort modes of the climb, told as ways out.

What has failed is taken to be the stage that burns, whole; where one engine of a cluster or of a
booster is lost the vehicle may also climb on with the others (`with_one_less`). Crew safety rests
on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from mplan.contingencies.climb_aborts import abort_modes
from mplan.contingencies.climb_point import ClimbPoint
from mplan.contingencies.ways_out.burners import lost_at
from mplan.contingencies.ways_out.climbing.modes import told
from mplan.contingencies.ways_out.climbing.with_one_less import climbs_on, engines_of
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.vehicle.same import Same


def ways(point: CabinPoint, failure: FailureName) -> Iterator[WayOut]:
    """Yield the ways out on the pad and in the climb; they differ where one engine alone fails."""
    if failure == "one engine lost" and point.elapsed > 0.0:
        yield from _with_one_less(point)
    yield from _ways(Same(point.flight), point.elapsed)


def _with_one_less(point: CabinPoint) -> Iterator[WayOut]:
    """Yield the ways on with one engine less, whichever it is.

    An engine without which nothing leads on decides: the ways on without another are then no way
    out of this failure, and are not told.
    """
    at, burn = climb_point(point.flight, point.elapsed), point.next_burn
    if burn is None:
        return
    lost = lost_at(point, "one engine lost")
    engines = engines_of(point.flight, point.elapsed, burn, lost)
    found = [tuple(climbs_on(at, point.elapsed, out)) for out in engines]
    stuck = [each for each in found if all(way.closed for way in each)]
    for each in stuck or found:
        yield from each


def stands_beside(point: CabinPoint) -> bool:
    """Tell whether a booster burns beside the stage that burns, or comes next, in the climb."""
    burn = point.next_burn
    if burn is None:
        return False
    out = engines_of(point.flight, point.elapsed, burn, lost_at(point, "one engine lost"))
    return any(each.booster for each in out)


@lru_cache(maxsize=512)
def _ways(of: Same[Flight], elapsed: float) -> tuple[WayOut, ...]:
    at = climb_point(of.it, elapsed)
    return tuple(told(at, mode, elapsed) for mode in abort_modes(at))


def climb_point(flight: Flight, elapsed: float) -> ClimbPoint:
    """Return the last point of the climb by a time [s since lift-off], or its first; or the pad."""
    if elapsed <= 0.0:
        return ClimbPoint(flight, None)
    times = flight.end.climb.track.t
    return ClimbPoint(flight, max(1, int(np.searchsorted(times, elapsed, side="right")) - 1))
