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
from mplan.contingencies.ways_out.outbound.pushed_home import Pushing, pushing
from mplan.contingencies.ways_out.outbound.round_the_moon import around, past_the_moon
from mplan.contingencies.ways_out.outbound.turning_back import turning_back
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.same import Same
from mplan.vehicle.stack import crew_module

NEXT_TO_NOTHING = 5.0  # m/s: an engine that gives less is not told of (our choice)


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
        return (WayOut("any", elapsed, point.craft, closed=str(problem)),)
    burn = point.burning
    if burn is not None and burn.leg == INSERTION:
        return tuple(_out_of_insertion(way))
    found = [*_coasting(way), *_blocked(way)]
    if burn is not None and burn.leg == INJECTION:
        told = f"injection cut off after {elapsed - burn.elapsed:.0f} s"
        return tuple(_noted(each, told) for each in found)
    return tuple(found)


def _coasting(way: OnTheWay) -> Iterator[WayOut]:
    for light, whole in _worth_telling(way):
        past = way.perilune
        if past is not None and past.t < way.ready.t:
            yield from past_the_moon(way, light)
            continue
        if light.main:
            yield from turning_back(way, light)
        yield from around(way, light, whole)


def _worth_telling(way: OnTheWay) -> Iterator[tuple[Pushing, Pushing]]:
    for light, whole in pushing(way):
        if light.available > NEXT_TO_NOTHING:
            yield light, whole


def _out_of_insertion(way: OnTheWay) -> Iterator[WayOut]:
    """Yield the ways home from what part of an insertion leaves."""
    told = f"insertion cut off: {what_is_left(way)}"
    found = from_closed_orbit(way)
    if found is None:
        found = (x for light, _ in _worth_telling(way) for x in past_the_moon(way, light))
    for each in found:
        yield _noted(each, told)


def _blocked(way: OnTheWay) -> Iterator[WayOut]:
    """Yield the main engines that stand inside another element, or point at the cabin."""
    scenario, home = way.flight.scenario, crew_module(way.flight.scenario)
    for name in way.craft:
        element = scenario.elements[name]
        mains = [key for key, engine in element.engines.items() if engine.purpose == "main"]
        keys = [key for key in mains if (name, key) not in way.lost.gone]
        for key in keys:
            if element.inside in way.craft:
                why = f"it stands inside the {plain(element.inside or '')}"
            elif _points_at(way, name, home):
                why = "its nozzles point at the crew module"
            else:
                continue
            yield WayOut(f"by {plain(name)}, {plain(key)}", way.called, way.craft, closed=why)


def _points_at(way: OnTheWay, name: str, home: str) -> bool:
    line = inertia.in_line(way.craft, way.state.scenario)
    stands = line.index(name), line.index(home)
    hangs = way.flight.scenario.elements[name].role in inertia.LANDER and stands[0] > stands[1]
    return not hangs and stands[0] > stands[1]


def _noted(way: WayOut, told: str) -> WayOut:
    return replace(way, note="; ".join(x for x in (told, way.note) if x))
