"""Ways out between Earth and the Moon, from the moment that the injection is lit.

Turned back, round the Moon, or out of what part of an insertion leaves: by each engine that is
there and not lost, lander's engines included, each flown with what it then pushes.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from mplan.contingencies.ways_out.burners import LostEngines, lost_at
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.outbound.blocked import blocked
from mplan.contingencies.ways_out.outbound.deorbit import deorbited, is_low
from mplan.contingencies.ways_out.outbound.on_the_way import (
    INJECTION,
    INSERTION,
    OnTheWay,
    on_the_way,
)
from mplan.contingencies.ways_out.outbound.part_of_insertion import (
    from_closed_orbit,
    what_is_left,
)
from mplan.contingencies.ways_out.outbound.pushed_home import worth_telling
from mplan.contingencies.ways_out.outbound.round_the_moon import around, past_the_moon
from mplan.contingencies.ways_out.outbound.turning_back import turning_back
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.vehicle.same import Same


def ways(point: CabinPoint, failure: FailureName) -> Iterator[WayOut]:
    """Yield the ways out of a cabin on its way to the Moon."""
    lost = lost_at(point, failure)
    yield from _ways(Same(point.flight), point.cabin, point.elapsed, lost)


@lru_cache(maxsize=1024)  # the same for failures that leave all engines
def _ways(of: Same[Flight], cabin: str, elapsed: float, lost: LostEngines) -> tuple[WayOut, ...]:
    point = CabinPoint(of.it, cabin, elapsed)
    try:
        way = on_the_way(point, lost)
    except ArithmeticError as problem:
        return (WayOut("any way out", elapsed, point.craft, closed=str(problem)),)
    burn = point.burning
    if burn is not None and burn.leg == INSERTION:
        return tuple(_out_of_insertion(way))
    found = [*_coasting(way), *blocked(way)]
    if burn is not None and burn.leg == INJECTION:
        told = f"injection cut off after {elapsed - burn.elapsed:.0f} s"
        return tuple(_noted(each, told) for each in found)
    return tuple(found)


def _coasting(way: OnTheWay) -> Iterator[WayOut]:
    low = is_low(way)
    for light, whole in worth_telling(way):
        if low:
            yield deorbited(way, light)
            continue
        past = way.perilune
        if past is not None and past.t < way.ready.t:
            yield from past_the_moon(way, light)
            continue
        if light.main:
            yield from turning_back(way, light)
        yield from around(way, light, whole)


def _out_of_insertion(way: OnTheWay) -> Iterator[WayOut]:
    """Yield the ways home from what part of an insertion leaves."""
    told = f"insertion cut off: {what_is_left(way)}"
    found = from_closed_orbit(way)
    if found is None:
        found = (x for light, _ in worth_telling(way) for x in past_the_moon(way, light))
    for each in found:
        yield _noted(each, told)


def _noted(way: WayOut, told: str) -> WayOut:
    return replace(way, note="; ".join(x for x in (told, way.note) if x))
