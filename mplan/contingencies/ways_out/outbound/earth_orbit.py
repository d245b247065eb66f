"""Ways out of the orbit about Earth: deorbited by each engine that is there and not lost.

Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, islice

from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.outbound.blocked import blocked
from mplan.contingencies.ways_out.outbound.deorbit import deorbited
from mplan.contingencies.ways_out.outbound.in_several_burns import in_several_burns
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay, on_the_way
from mplan.contingencies.ways_out.outbound.over_the_area import by_two_burns, is_over
from mplan.contingencies.ways_out.outbound.pushed_home import Pushing, worth_telling
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

    Where none does in one burn, in several. Where one burn leads beside the area, two of the first
    engine that comes down there so.
    """
    engines = [light for light, _ in worth_telling(way)]
    alone = [deorbited(way, light) for light in engines]
    beside: list[Pushing] = []
    for light, found in zip(engines, alone, strict=True):
        yield found
        if area is not None and not found.closed:
            there = deorbited(way, light, area)
            yield there
            if there.closed or not is_over(area, there.lands):
                beside.append(light)
    if all(x.closed for x in alone):
        yield from chain.from_iterable(in_several_burns(way, light, area) for light in engines)
    elif area is not None:
        by_two = (x for light in beside for x in by_two_burns(way, light, area))
        yield from islice(by_two, 1)
