"""Ways out of the orbit about Earth: deorbited by each engine that is there and not lost.

Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.outbound.blocked import blocked
from mplan.contingencies.ways_out.outbound.deorbit import deorbited
from mplan.contingencies.ways_out.outbound.on_the_way import on_the_way
from mplan.contingencies.ways_out.outbound.pushed_home import worth_telling
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin in orbit about Earth.

    LookupError where the date is not known, and with it where Earth has turned to.
    """
    if not point.flight.dated:
        raise LookupError("the date of lift-off is not known")
    way, area = on_the_way(point, lost), point.flight.scenario.recovery
    for light, _ in worth_telling(way):
        found = deorbited(way, light)
        yield found
        if area is not None and not found.closed:
            yield deorbited(way, light, area)
    yield from blocked(way)
