"""Home by two engines, one after the other, where none of the craft leads there alone.

The first burns what it has towards the arc home of the least burn: turned back, round the Moon, or
mended past it. Its burn is flown with the thrust and the mass there; what only it needed is then
dropped, and the second finds its own way from where that leads, half an hour later. Each has its
own propellant, rated time, starts and control. Crew safety rests on this: a planning study's
figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import permutations
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.at_the_moon.leaving import dropped_before
from mplan.contingencies.ways_out.burners import burned, uncontrolled, unqualified
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.once import once
from mplan.contingencies.ways_out.outbound.pushed_home import (
    Pushing,
    burned_on,
    pushing,
    with_pushed,
    worth_telling,
)
from mplan.contingencies.ways_out.outbound.round_the_moon import least_home, trimmed
from mplan.contingencies.ways_out.outbound.told import shut
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut
from mplan.flight.state import Arc
from mplan.physics.arcs import nbody, thrust_arc
from mplan.physics.circumlunar.direct_return import soonest_return
from mplan.physics.rocket import propellant
from mplan.physics.vectors import length

WORTH = 0.1  # of what is needed: an engine that gives less is not lit before another (our choice)
SHARE = 0.9  # of what both have, for which an arc turned back is sought (our choice)

Onward = Callable[[OnTheWay, Pushing, Pushing], Iterable[WayOut]]  # home by one engine


class Towards(NamedTuple):
    """Arcs home that a first burn is made for.

    `needs` returns the whole burn (3,) [m/s] of one, from all that both engines have [m/s];
    ArithmeticError where there is none. `onward` yields the second engine's ways from there.
    """

    what: str
    needs: Callable[[float], np.ndarray]
    onward: Onward


class _Made(NamedTuple):
    """A first burn as made: the burn, the coast before it, and where it leaves the craft."""

    burn: WayBurn
    coast: Arc
    way: OnTheWay


def in_turn(way: OnTheWay, aims: Iterable[Towards]) -> Iterator[WayOut]:
    """Yield the way home by two engines in turn that is soonest, or that which lacks least."""
    found = [each for aim in aims for each in _pairs(way, aim)]
    good = [each for each in found if not each.closed]
    if good:
        yield min(good, key=lambda each: each.home or 0.0)
    elif found:
        yield max(found, key=lambda each: each.margin or 0.0)


def turned_back(way: OnTheWay, what: str, onward: Onward) -> Towards:
    """Return the arcs home before the Moon, by a burn of nearly all that there is."""
    here = way.ready
    begin = nbody.ArcStart(here.r, here.v, here.t, 0.0)
    return Towards(
        what, lambda total: soonest_return(begin, SHARE * total, way.entry_angle).burn, onward
    )


def round_it(way: OnTheWay, what: str, onward: Onward) -> Iterator[Towards]:
    """Yield the arc home round the Moon, where there is one."""
    found = trimmed(way)
    if not isinstance(found, str):
        yield Towards(what, lambda total: found.trim.burn, onward)


def mended(way: OnTheWay, what: str, onward: Onward) -> Iterator[Towards]:
    """Yield the arc home that is nearest to the one there is, where there is one."""
    with suppress(ArithmeticError):
        burn = once(least_home, way.ready, way.entry_angle).burn
        yield Towards(what, lambda total: burn, onward)


def _pairs(way: OnTheWay, aim: Towards) -> Iterator[WayOut]:
    """Yield the ways of each pair of engines that have enough together."""
    for (first, _), (second, _) in permutations(worth_telling(way), 2):
        pushes = _joined(way, first, second)
        if pushes is None:
            continue
        there = min(pushes.available, pushes.burner.within_rating(pushes.state, pushes.kept))
        total = there + _left_to(second, pushes, there)
        try:
            burn = aim.needs(total)
        except ArithmeticError:
            continue
        takes = length(burn)
        if takes < total and there > WORTH * takes:
            made = _made(way, pushes, aim.what, burn, min(takes, there))
            if made is not None:
                yield from _then(way, pushes, second, aim, made)


def _joined(way: OnTheWay, first: Pushing, second: Pushing) -> Pushing | None:
    """Return the first engine pushing what either of both needs; None where they exclude it."""
    if second.burner.element in first.burner.first:
        return None
    both = {*first.kept, *second.kept, second.burner.element} - set(first.burner.first)
    return with_pushed(way, first.burner, tuple(x for x in way.craft if x in both))


def _left_to(second: Pushing, first: Pushing, size: float) -> float:
    """Return what the second engine has [m/s] once the first has given a velocity.

    They may draw from one tank.
    """
    drawn = propellant(first.burner.isp, first.mass, size)
    after = burned(first.state, first.kept, first.burner, drawn, first.lasts(size))
    kept = tuple(x for x in second.kept if x in first.kept)
    return second.burner.available(after, kept)


def _made(way: OnTheWay, pushes: Pushing, what: str, burn: np.ndarray, size: float) -> _Made | None:
    """Return the first burn as flown, along `burn`; None where its engine cannot make it."""
    state, engine, lasts = pushes.state, pushes.burner, pushes.lasts(size)
    if unqualified(state, engine, lasts, 1) or uncontrolled(way.flight, state, pushes.kept, engine):
        return None
    here = way.ready
    try:
        after = burned_on(way, pushes, here, size, thrust_arc.steady(burn))
    except ArithmeticError:
        return None
    return _Made(
        WayBurn(what, *engine.key, here.t - state.lift_off, size, pushes.available),
        Arc(way.now.r, way.now.v, way.now.t, here.t),
        after,
    )


def _then(
    way: OnTheWay, first: Pushing, second: Pushing, aim: Towards, made: _Made
) -> Iterator[WayOut]:
    """Yield the ways on by the second engine, told from the first on."""
    for light, whole in pushing(made.way):
        if light.burner.key != second.burner.key:
            continue
        for each in _found(made.way, light, whole, aim.onward):
            yield replace(
                each,
                name=_named(each.name, first, second),
                called=way.called,
                burns=(made.burn, *each.burns) if each.burns else (),
                note="; ".join(x for x in (_dropped(way, first), each.note) if x),
                arcs=(made.coast, *each.arcs) if each.arcs else (),
            )


def _found(way: OnTheWay, light: Pushing, whole: Pushing, onward: Onward) -> Sequence[WayOut]:
    """Return the ways on, or that they lead nowhere."""
    try:
        return tuple(x for x in onward(way, light, whole) if x.burns)
    except ArithmeticError as problem:
        return (shut(way, light, f"return by {light.burner.title}", str(problem)),)


def _named(name: str, first: Pushing, second: Pushing) -> str:
    title = second.burner.title
    return name.replace(f"by {title}", f"by {first.burner.title}, then {title}", 1)


def _dropped(way: OnTheWay, first: Pushing) -> str:
    dropped = dropped_before(way.craft, first.kept)
    return f"{dropped} the first burn" if dropped else ""
