"""Ways out that a failure changes by the engines it takes, and by nothing else: found once."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache, wraps

from mplan.contingencies.ways_out.burners import LostEngines, lost_at
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.vehicle.same import Same

WaysWithout = Callable[[CabinPoint, LostEngines], Iterable[WayOut]]
WaysAfter = Callable[[CabinPoint, FailureName], tuple[WayOut, ...]]


def lost_decides(ways: WaysWithout) -> WaysAfter:
    """Return the ways out after a failure, from those without the engines that it takes.

    Failures that take the same engines are answered by one search.
    """

    @wraps(ways)
    def after(point: CabinPoint, failure: FailureName) -> tuple[WayOut, ...]:
        lost = lost_at(point, failure)
        return _found(ways, Same(point.flight), point.cabin, point.elapsed, lost)

    return after


@lru_cache(maxsize=256)  # the failures of a few looks: neighbouring ones ask for other times
def _found(
    ways: WaysWithout, of: Same[Flight], cabin: str, elapsed: float, lost: LostEngines
) -> tuple[WayOut, ...]:
    return tuple(ways(CabinPoint(of.it, cabin, elapsed), lost))
