"""Ways out of the orbit about Earth: deorbited by each engine that is there and not lost.

Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from mplan.contingencies.ways_out.burners import LostEngines, lost_at
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.outbound.blocked import blocked
from mplan.contingencies.ways_out.outbound.deorbit import deorbited
from mplan.contingencies.ways_out.outbound.on_the_way import on_the_way
from mplan.contingencies.ways_out.outbound.pushed_home import worth_telling
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.vehicle.same import Same


def ways(point: CabinPoint, failure: FailureName) -> Iterator[WayOut]:
    """Yield the ways out of a cabin in orbit about Earth.

    LookupError where the date is not known, and with it where Earth has turned to.
    """
    if not point.flight.dated:
        raise LookupError("the date of lift-off is not known")
    yield from _ways(Same(point.flight), point.cabin, point.elapsed, lost_at(point, failure))


@lru_cache(maxsize=1024)  # the same for failures that leave all engines
def _ways(of: Same[Flight], cabin: str, elapsed: float, lost: LostEngines) -> tuple[WayOut, ...]:
    way = on_the_way(CabinPoint(of.it, cabin, elapsed), lost)
    area = of.it.scenario.recovery
    found = []
    for light, _ in worth_telling(way):
        found.append(deorbited(way, light))
        if area is not None and not found[-1].closed:
            found.append(deorbited(way, light, area))
    return (*found, *blocked(way))
