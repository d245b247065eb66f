"""Ways out of the orbit about Earth: deorbited by each engine that is there and not lost.

Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.outbound.blocked import blocked
from mplan.contingencies.ways_out.outbound.deorbit import deorbited
from mplan.contingencies.ways_out.outbound.in_several_burns import in_several_burns
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay, on_the_way
from mplan.contingencies.ways_out.outbound.pushed_home import worth_telling
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.scenario.models import Recovery


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin in orbit about Earth.

    LookupError where the date is not known, and with it where Earth has turned to.
    """
    if not point.flight.dated:
        raise LookupError("the date of lift-off is not known")
    way = on_the_way(point, lost)
    yield from deorbited_by_each(way, point.flight.scenario.recovery)
    yield from blocked(way)


def deorbited_by_each(way: OnTheWay, area: Recovery | None = None) -> Iterator[WayOut]:
    """Yield the way down by each engine, and to an `area` where it leads down at all.

    Where none does in one burn, in several.
    """
    engines = [light for light, _ in worth_telling(way)]
    alone = [deorbited(way, light) for light in engines]
    for light, found in zip(engines, alone, strict=True):
        yield found
        if area is not None and not found.closed:
            yield deorbited(way, light, area)
    if all(x.closed for x in alone):
        yield from chain.from_iterable(in_several_burns(way, light) for light in engines)
