"""Home from a lunar orbit as it then stands: by each engine that is there, on an integrated arc.

The burn is at the best place of a revolution, for the time of flight of the plan; where an engine
has not enough for that, for the one that takes least. It is flown out with the thrust and mass
there. What an engine's nozzles point at, and what is not needed at home, is dropped first.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from mplan.contingencies.ways_out.at_the_moon.in_parts import PartedReturn, WeakEngine, in_parts
from mplan.contingencies.ways_out.at_the_moon.in_turn import in_turn
from mplan.contingencies.ways_out.at_the_moon.leaving import (
    Leaving,
    boarded,
    dropped_before,
    kept_with,
    needed,
)
from mplan.contingencies.ways_out.at_the_moon.return_targets import (
    Onward,
    best_return,
    entry_angle,
    soonest_return,
)
from mplan.contingencies.ways_out.burners import (
    Burner,
    burners,
    uncontrolled,
    unqualified,
)
from mplan.contingencies.ways_out.coming_down import comes_down
from mplan.contingencies.ways_out.way_out import MoonCoast, WayBurn, WayOut
from mplan.flight.homeward import departure
from mplan.flight.state import Arc, Craft, State
from mplan.physics.arcs.homeward import Homeward
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.burns import aimed_burn
from mplan.physics.burns.finite_burn import FiniteBurn
from mplan.physics.rocket import burn_time, propellant
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.same import Same

TOO_LITTLE = 0.1  # of what a return takes: an engine that has less is not told of
ALONG = "not steered for the least delta-v: the best steering takes less"
COARSE = 50.0  # kg, to which the mass of a burn's loss is rounded: a hundredth of the loss


def ways_home(leaving: Leaving) -> Iterator[WayOut]:
    """Yield a way home by each engine of the craft that is not lost, open or closed.

    One with next to nothing left is not told of. Where none leads home, two of them in turn.
    """
    alone = [_by(leaving, x) for x in burners(leaving.state, leaving.craft, leaving.lost)]
    for each in alone:
        if not each.burns or each.burns[0].available > TOO_LITTLE * each.required:
            yield each
    if all(each.closed for each in alone):
        yield from in_turn(leaving, _by)


def with_kept(leaving: Leaving, kept: Sequence[str]) -> Iterator[WayOut]:
    """Yield the ways home by main engines that push more than they have to.

    Each element to be `kept` with what stands between, and all that is joined.
    """
    for burner in burners(leaving.state, leaving.craft, leaving.lost):
        least = kept_with(leaving, burner)
        if not least or burner.rated(leaving.state).purpose != "main":
            continue
        whole = tuple(x for x in leaving.craft if x not in burner.first)
        wanted = [_reaching(leaving, least, x) for x in kept if x in whole]
        for each in dict.fromkeys((*wanted, whole)):
            if set(each) > set(least) and set(each) <= set(whole):
                more = ", ".join(plain(x) for x in each if x not in least)
                way = _pushing(leaving, burner, each)
                yield replace(way, name=f"{way.name}, {more} kept")


def sooner_home(leaving: Leaving) -> Iterator[WayOut]:
    """Yield the ways home by each engine in the shortest time that it has enough for.

    Where that is sooner than `ways_home`, for whom time is short.
    """
    for burner in burners(leaving.state, leaving.craft, leaving.lost):
        kept = kept_with(leaving, burner)
        if kept:
            state = boarded(leaving, kept)
            there = min(burner.available(state, kept), burner.within_rating(state, kept))
            home = soonest_return(leaving, there)
            if home is not None:
                name = f"fast return to Earth by {burner.title}"
                yield _flown(leaving, burner, state, kept, home, name)


def _reaching(leaving: Leaving, least: Craft, element: str) -> Craft:
    """Return what is pushed at least with an element, and what stands between."""
    line = inertia.in_line(leaving.craft, leaving.state.scenario)
    ends = [line.index(x) for x in (*least, element)]
    between = line[min(ends) : max(ends) + 1]
    return tuple(x for x in leaving.craft if x in between or x in least)


def _by(leaving: Leaving, burner: Burner) -> WayOut:
    return _pushing(leaving, burner, kept_with(leaving, burner))


def _pushing(leaving: Leaving, burner: Burner, kept: Craft) -> WayOut:
    """Return the way home by an engine that pushes what is `kept`; () of what it cannot."""
    name = f"return to Earth by {burner.title}"
    if not kept:
        why = "its nozzles point at what the crew come home in"
        return WayOut(name, leaving.called, leaving.craft, closed=why)
    state = boarded(leaving, kept)
    there = min(burner.available(state, kept), burner.within_rating(state, kept))
    home = best_return(leaving, there)
    if home is None:
        return WayOut(name, leaving.called, kept, closed="no arc leads home from this orbit")
    return _flown(leaving, burner, state, kept, home, name)


def _flown(
    leaving: Leaving, burner: Burner, state: State, kept: Craft, home: Homeward, name: str
) -> WayOut:
    """Return the way home by one burn of an engine, or by several of a weak one."""
    mass, there = state.mass(kept), burner.available(state, kept)
    burn = flown_out(Same(home), burner.thrust, burner.isp, COARSE * round(mass / COARSE))
    spent = home.delta_v if isinstance(burn, str) else burn.delta_v
    closed = _barred(leaving, burner, state, kept, burn, spent)
    if closed in (aimed_burn.LOW_THRUST, aimed_burn.USED_UP):
        parted = _parted(leaving, burner, state, kept, home)
        if parted is not None:
            return _told_parts(leaving, burner, state, kept, parted, name)
    at = home.t - state.lift_off
    way = WayOut(
        name=name,
        called=leaving.called,
        craft=kept,
        burns=(WayBurn("return burn", *burner.key, at, spent, there),),
        closed=closed,
        note=_dropped(leaving, kept, burner),
        arcs=(Arc(home.r, home.v, home.t, home.interface.t),),
        orbits=(MoonCoast("orbit before the return", home.leaving, kept),),
    )
    return _come_down(leaving, way, home.interface)


def _come_down(leaving: Leaving, way: WayOut, interface: Arrival) -> WayOut:
    """Return a way with its end: when and where the crew module comes down from an interface."""
    down = comes_down(leaving.stores, interface, leaving.crew)
    return replace(
        way,
        home=down.t - leaving.state.lift_off,
        lands=down.place,
        closed=way.closed or down.closed,
        note="; ".join(x for x in (way.note, down.note) if x),
        estimate=down.estimate,
    )


def _parted(
    leaving: Leaving, burner: Burner, state: State, kept: Craft, home: Homeward
) -> PartedReturn | None:
    """Return the way home of an engine that is too weak for one arc."""
    mass = COARSE * round(state.mass(kept) / COARSE)
    there = 10.0 * round(burner.available(state, kept) / 10.0)
    engine = WeakEngine(burner.thrust, burner.isp, mass, there)
    angle = entry_angle(leaving)
    return in_parts(Same(home), engine, angle, Onward(angle))


def _told_parts(
    leaving: Leaving,
    burner: Burner,
    state: State,
    kept: Craft,
    parted: PartedReturn,
    name: str,
) -> WayOut:
    """Return the way home in several burns."""
    there, burns = burner.available(state, kept), []
    for each in parted.burns:
        at = each.t - state.lift_off
        burns.append(WayBurn(each.what, *burner.key, at, each.spent, there))
        there -= each.spent
    closed = uncontrolled(leaving.flight, state, kept, burner) or unqualified(
        state, burner, parted.seconds, len(burns)
    )
    if there < 0.0:
        closed = (
            f"it takes {parted.spent:.0f} m/s in {len(burns)} burns, and lacks {-there:.0f} m/s"
        )
    way = WayOut(
        name=name,
        called=leaving.called,
        craft=kept,
        burns=tuple(burns),
        closed=closed,
        note="; ".join(x for x in (_dropped(leaving, kept, burner), ALONG) if x),
        arcs=parted.arcs,
        orbits=tuple(
            MoonCoast(f"before {x.what}", x.before, kept) for x in parted.burns if x.before
        ),
    )
    return _come_down(leaving, way, parted.interface)


def _barred(
    leaving: Leaving,
    burner: Burner,
    state: State,
    kept: Craft,
    burn: FiniteBurn | str,
    spent: float,
) -> str:
    """Return why an engine cannot make a burn, "" where it can."""
    there = burner.available(state, kept)
    if spent > there:
        return f"it takes {spent:.0f} m/s, and its tanks give {there:.0f} m/s"
    seconds = burn_time(burner.thrust, burner.isp, propellant(burner.isp, state.mass(kept), spent))
    wrong = uncontrolled(leaving.flight, state, kept, burner)
    wrong = wrong or unqualified(state, burner, seconds, 1)
    return wrong or (burn if isinstance(burn, str) else "")


def _dropped(leaving: Leaving, kept: Craft, burner: Burner) -> str:
    """Return in words what is left behind, before the burn and after it."""
    before = dropped_before(leaving.craft, kept)
    extra = [plain(x) for x in kept if x not in needed(leaving)]
    after = f"{', '.join(extra)} not needed after the burn" if extra else ""
    return "; ".join(x for x in (before, after) if x)


@lru_cache(maxsize=1024)
def flown_out(home: Same[Homeward], thrust: float, isp: float, mass: float) -> FiniteBurn | str:
    """Return the return burn flown out, or why it cannot be: a thrust too low for one arc."""
    to = departure(home)
    try:
        return aimed_burn.fly_aimed(
            to.r, to.v, to.wanted, to.mu, thrust=thrust, isp=isp, mass=max(mass, COARSE)
        )
    except ArithmeticError as problem:
        return str(problem)
