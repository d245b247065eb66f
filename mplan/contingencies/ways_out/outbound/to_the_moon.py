"""Ways out between Earth and the Moon, from the moment that the injection is lit.

Turned back, round the Moon, or out of what part of an insertion leaves: by each engine that is
there and not lost, lander's engines included, each flown with what it then pushes.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import sooner_home, ways_home
from mplan.contingencies.ways_out.burners import NOTHING, LostEngines
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.outbound.blocked import blocked
from mplan.contingencies.ways_out.outbound.deorbit import is_low
from mplan.contingencies.ways_out.outbound.earth_orbit import deorbited_by_each
from mplan.contingencies.ways_out.outbound.on_the_way import (
    INJECTION,
    INSERTION,
    OnTheWay,
    on_the_way,
)
from mplan.contingencies.ways_out.outbound.one_then_another import (
    Towards,
    in_turn,
    mended,
    round_it,
    turned_back,
)
from mplan.contingencies.ways_out.outbound.part_of_insertion import (
    from_closed_orbit,
    once_inserted,
    what_is_left,
)
from mplan.contingencies.ways_out.outbound.pushed_home import Pushing, worth_telling
from mplan.contingencies.ways_out.outbound.round_the_moon import (
    HASTE,
    TRIM,
    around,
    passing,
    past_the_moon,
    sooner_past_the_moon,
)
from mplan.contingencies.ways_out.outbound.turning_back import TURN_BACK, turning_back
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.sheltering import shelters
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.vehicle.ledger import Key

GOES_ON = "the insertion goes on to its end"


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin on its way to the Moon."""
    try:
        way = on_the_way(point, lost)
    except ArithmeticError as problem:
        yield WayOut("any way out", point.elapsed, point.craft, closed=str(problem))
        return
    burn = point.burning
    if burn is not None and burn.leg == INSERTION:
        yield from _out_of_insertion(way, point, (burn.element, burn.engine))
        return
    found = chain(_coasting(way), blocked(way))
    if burn is None or burn.leg != INJECTION:
        yield from found
        return
    told = f"injection cut off after {point.elapsed - burn.elapsed:.0f} s"
    for each in found:
        yield _noted(each, told)


def with_shelter(point: CabinPoint) -> Iterator[WayOut]:
    """Yield the ways back before the Moon that keep all that is joined, another cabin in it."""
    if point.burning is not None or not any(shelters(point)):
        return
    way = on_the_way(point, NOTHING)
    if is_low(way) or passing(way):
        return
    for light, whole in worth_telling(way):
        if light.main and whole.kept != light.kept:
            for each in turning_back(way, whole):
                yield replace(each, name=f"{each.name}, all kept")


def sooner(point: CabinPoint) -> Iterator[WayOut]:
    """Yield the fast ways home past the Moon, and those once an insertion has come to its end."""
    burn = point.burning
    inserting = burn is not None and burn.leg == INSERTION
    if burn is None or inserting:
        yield from _sooner_past(on_the_way(point, NOTHING), inserting=inserting)
    if inserting:
        inserted = once_inserted(point, NOTHING)
        for each in chain(ways_home(inserted), sooner_home(inserted)):
            yield _noted(each, GOES_ON)


def _sooner_past(way: OnTheWay, *, inserting: bool) -> Iterator[WayOut]:
    """Yield the fast ways home from an arc past the Moon, or from what part of an insertion left.

    From an orbit about the Moon that can be waited in there are others.
    """
    if is_low(way) or not (inserting or passing(way)) or from_closed_orbit(way) is not None:
        return
    told = f"insertion cut off: {what_is_left(way)}" if inserting else ""
    for light, _ in worth_telling(way):
        for each in sooner_past_the_moon(way, light):
            yield _noted(each, told)


def _coasting(way: OnTheWay) -> Iterator[WayOut]:
    """Yield the ways home by one engine, and where none leads there by two in turn."""
    if is_low(way):
        yield from deorbited_by_each(way)
        return
    leaves = passing(way)
    alone = [x for each in worth_telling(way) for x in _by_one(way, *each, leaves=leaves)]
    yield from alone
    if all(x.closed for x in alone):
        yield from leaving_in_turn(way) if leaves else in_turn(way, _before(way))


def _by_one(way: OnTheWay, light: Pushing, whole: Pushing, *, leaves: bool) -> Iterator[WayOut]:
    """Yield the ways home by one engine, before the Moon or as it leaves it."""
    if leaves:
        yield from past_the_moon(way, light)
        return
    if light.main:
        yield from turning_back(way, light)
    yield from around(way, light, whole)


def _before(way: OnTheWay) -> Iterator[Towards]:
    """Yield the arcs home that a first burn before the Moon is made for."""
    yield turned_back(way, TURN_BACK, lambda on, light, _: turning_back(on, light))
    if way.perilune is not None:
        yield from round_it(way, TRIM, around)


def leaving_in_turn(way: OnTheWay) -> Iterator[WayOut]:
    """Yield the way home by two engines in turn from an arc that leaves the Moon."""
    aims = mended(way, HASTE, lambda on, light, _: past_the_moon(on, light))
    yield from in_turn(way, aims)


def _out_of_insertion(way: OnTheWay, point: CabinPoint, key: Key) -> Iterator[WayOut]:
    """Yield the ways home from what part of an insertion leaves.

    Where none leads home and the engine that burns, `key`, is sound, from the orbit planned: the
    burn goes on to its end.
    """
    told = f"insertion cut off: {what_is_left(way)}"
    found = from_closed_orbit(way)
    if found is None:
        alone = [x for light, _ in worth_telling(way) for x in past_the_moon(way, light)]
        closed = all(x.closed for x in alone)
        found = chain(alone, leaving_in_turn(way) if closed else ())
    ways = [_noted(each, told) for each in found]
    yield from ways
    if all(x.closed for x in ways) and key not in way.lost.gone | way.lost.fewer:
        for each in ways_home(once_inserted(point, way.lost)):
            yield _noted(each, GOES_ON)


def _noted(way: WayOut, told: str) -> WayOut:
    return replace(way, note="; ".join(x for x in (told, way.note) if x))
