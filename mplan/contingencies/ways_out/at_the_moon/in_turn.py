"""Home from a lunar orbit by two engines, one after the other, where neither has enough alone.

The first raises the apolune with what it has, about the best place of a revolution, in one burn or
some; what only it needed is dropped, and the second leaves from the ellipse that results, as from
any lunar orbit. Each has its own propellant, starts, rated time and control. Crew safety rests on
this: a planning study's figures.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import permutations
from math import inf
from typing import NamedTuple

from mplan.contingencies.ways_out.at_the_moon.in_parts import (
    HIGH,
    PartBurn,
    WeakEngine,
    next_turn,
    raised,
    raising,
)
from mplan.contingencies.ways_out.at_the_moon.leaving import (
    Leaving,
    boarded,
    dropped_before,
    kept_with,
)
from mplan.contingencies.ways_out.at_the_moon.return_targets import (
    Onward,
    best_return,
    cheapest_time,
    entry_angle,
    guess_for,
    not_home_before,
)
from mplan.contingencies.ways_out.burners import Burner, burned, burners, uncontrolled, unqualified
from mplan.contingencies.ways_out.way_out import MoonCoast, WayBurn, WayOut
from mplan.flight.state import Craft, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.rocket import propellant
from mplan.physics.twobody import speed

WORTH = 20.0  # m/s: an engine that gives less is not worth a burn before another's (our choice)
BURNS = 4  # of the first engine, at the most (our choice)

By = Callable[[Leaving, Burner], WayOut]  # the way home by one engine


class _Pair(NamedTuple):
    """The first and the second engine; the state with all aboard, what is pushed, what first gives.

    `hopeful`: neither would burn longer than it is qualified to, and what the first cannot use
    for raising the second has.
    """

    first: Burner
    second: Burner
    state: State
    kept: Craft
    there: float
    hopeful: bool


class _Raised(NamedTuple):
    """What the first engine has done: its burns, and the craft about to leave by the second.

    `orbits` are those before its burns.
    """

    burns: tuple[WayBurn, ...]
    orbits: tuple[MoonCoast, ...]
    leaving: Leaving


def in_turn(leaving: Leaving, by: By) -> Iterator[WayOut]:
    """Yield the way home by two engines in turn that is soonest, `by` the second; or none.

    Where no pair leads home, that which lacks least.
    """
    pairs = sorted(_pairs(leaving), key=lambda each: -each.second.thrust)  # the quicker first
    found = [*_ways_of(leaving, by, [x for x in pairs if x.hopeful])]
    good = [each for each in found if not each.closed]
    if good:
        yield min(good, key=_at_home)
        return
    found += _ways_of(leaving, by, [x for x in pairs if not x.hopeful])
    if found:
        yield max(found, key=lambda each: each.margin or 0.0)


def _pairs(leaving: Leaving) -> Iterator[_Pair]:
    """Yield each pair of engines whose tanks have enough together, by joined conics."""
    takes, most = guess_for(leaving, cheapest_time(leaving)), _most_raised(leaving.orbit)
    for first, second in permutations(burners(leaving.state, leaving.craft, leaving.lost), 2):
        kept = _joined(leaving, first, second)
        if not kept:
            continue
        state = boarded(leaving, kept)
        there = min(first.available(state, kept), first.within_rating(state, kept))
        left, rated = _left_to(second, first, state, kept, there)
        if there >= WORTH and there + left >= takes:
            hopeful = min(there, most) + min(left, rated) >= takes
            yield _Pair(first, second, state, kept, there, hopeful)


def _most_raised(orbit: LunarOrbit) -> float:
    """Return the velocity [m/s] that raises the apolune of an orbit as far as it is raised."""
    low = orbit.a * (1.0 - orbit.e)
    return speed(low, (low + HIGH) / 2.0, c.MU_MOON) - speed(low, orbit.a, c.MU_MOON)


def _ways_of(leaving: Leaving, by: By, pairs: Iterable[_Pair]) -> Iterator[WayOut]:
    """Yield the ways of pairs whose engines can make their burns, but those later than one open."""
    soonest = inf
    for each in pairs:
        way = _flown(leaving, each, by, soonest)
        if way is not None and way.burns:
            soonest = soonest if way.closed else min(soonest, _at_home(way))
            yield way


def _at_home(way: WayOut) -> float:
    return way.home or 0.0


def _joined(leaving: Leaving, first: Burner, second: Burner) -> Craft:
    """Return what the first engine pushes: all that either needs; () where they exclude."""
    wanted = kept_with(leaving, first), kept_with(leaving, second)
    if not all(wanted) or second.element in first.first:
        return ()
    both = {*wanted[0], *wanted[1], second.element} - set(first.first)
    return tuple(x for x in leaving.craft if x in both)


def _left_to(
    second: Burner, first: Burner, state: State, kept: Craft, spent: float
) -> tuple[float, float]:
    """Return what the second engine's tanks and its rating give [m/s] once the first has burned.

    What only the first needed is dropped; they may draw from one tank.
    """
    drawn = propellant(first.isp, state.mass(kept), spent)
    after = burned(state, kept, first, drawn, drawn / first.flow).without(second.first)
    rest = tuple(x for x in kept if x not in second.first)
    return second.available(after, rest), second.within_rating(after, rest)


def _flown(leaving: Leaving, pair: _Pair, by: By, before: float) -> WayOut | None:
    """Return the way of a pair; None where the first engine cannot make its burns.

    None too where the crew could not be home `before` a time [s since lift-off].
    """
    first, second, state, kept, gives, _ = pair
    if uncontrolled(leaving.flight, state, kept, first):
        return None
    done = _raise(leaving, first, state, kept, gives)
    if done is None:
        return None
    then = next(
        (x for x in burners(done.leaving.state, kept, leaving.lost) if x.key == second.key), None
    )
    if then is None:
        return None
    there = then.available(done.leaving.state, kept_with(done.leaving, then) or kept)
    if not_home_before(done.leaving, there) > before:
        return None
    way = by(done.leaving, then)
    dropped = dropped_before(leaving.craft, kept)
    return replace(
        way,
        name=f"return to Earth by {first.title}, then {second.title}",
        burns=(*done.burns, *way.burns) if way.burns else (),
        note="; ".join(x for x in (dropped, way.note) if x),
        orbits=(*done.orbits, *way.orbits),
    )


def _raise(
    leaving: Leaving, first: Burner, state: State, kept: Craft, there: float
) -> _Raised | None:
    """Return the raising burns of the first engine, with what it has up to the highest apolune."""
    home = best_return(leaving, there)
    engine = WeakEngine(first.thrust, first.isp, state.mass(kept), there)
    onward = Onward(entry_angle(leaving))
    burns: list[PartBurn] = []
    orbit: LunarOrbit | None = None
    while home is not None and len(burns) < BURNS:
        size = min(raising(home.leaving, engine), engine.there)
        if size < WORTH:
            break
        try:
            burn, orbit = raised(home, engine, size, len(burns) + 1)
        except ArithmeticError:
            return None
        burns.append(burn)
        engine = engine.after(size)
        ahead = next_turn(orbit) if min(engine.there, raising(orbit, engine)) > WORTH else None
        home = onward.about(ahead) if ahead else None
    if orbit is None:
        return None
    seconds = sum(x.seconds for x in burns)
    if unqualified(state, first, seconds, len(burns)):
        return None
    after = burned(state, kept, first, state.mass(kept) - engine.mass, seconds)
    after = after.later(orbit.t - after.t)
    ways, left = [], first.available(state, kept)
    for each in burns:
        ways.append(WayBurn(each.what, *first.key, each.t - state.lift_off, each.spent, left))
        left -= each.spent
    orbits = tuple(MoonCoast(f"before {x.what}", x.before, kept) for x in burns if x.before)
    return _Raised(tuple(ways), orbits, replace(leaving, state=after, craft=kept, orbit=orbit))
