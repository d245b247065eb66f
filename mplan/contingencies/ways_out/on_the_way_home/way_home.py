"""Ways out on the way home: on as planned with whatever engine corrects, uncorrected, or sooner.

The ship falls home whatever fails; what has to be made good is the aim. How large a correction is
comes from the plan: its stated errors, or its allowance. Crew safety rests on this: a planning
study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from mplan.contingencies.ways_out.at_the_moon.now import state_at
from mplan.contingencies.ways_out.at_the_moon.rejoin import lacks, spent
from mplan.contingencies.ways_out.burners import (
    Burner,
    LostEngines,
    burners,
    given_by,
    uncontrolled,
)
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.on_the_way_home import cut_short
from mplan.contingencies.ways_out.on_the_way_home.arc_home import (
    ArcHome,
    angles_without,
    arc_home,
    corrections_ahead,
    corridor_of,
)
from mplan.contingencies.ways_out.on_the_way_home.sooner import sooner
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import LandingPlace, WayBurn, WayOut
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import Arc, Craft, State
from mplan.physics import constants as c

AS_PLANNED, UNCORRECTED = "return as planned", "return as planned, uncorrected"


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin on its way home, from the return burn's ignition on."""
    burn = point.burning
    if burn is not None and burn.leg == "trans-Earth injection":
        if (burn.element, burn.engine) in lost.gone:
            yield from cut_short.ways(point, burn, lost)
            return
        yield _burns_on(point, burn)
        return
    arc = arc_home(point.flight)
    if arc is None:
        return
    state = state_at(point)
    craft = state.joined(point.cabin)
    yield from _home(point, lost, arc, state, craft)
    yield from sooner(point, lost, arc, state, craft)


def _burns_on(point: CabinPoint, burn: BurnRecord) -> WayOut:
    """Return the way on with a return burn that is on, as planned."""
    done, key = given_by(burn, point.elapsed), (burn.element, burn.engine)
    rest, there = burn.required - done, burn.available - done
    on = WayBurn("rest of the return burn", *key, point.elapsed, rest, there)
    return _planned(point, AS_PLANNED, burn.craft, (on,))


def _planned(
    point: CabinPoint,
    name: str,
    craft: Craft,
    burns: tuple[WayBurn, ...] = (),
    *,
    closed: str = "",
    note: str = "",
) -> WayOut:
    """Return a way that ends with the plan's own splash."""
    flight = point.flight
    splash, arc = flight.splash, arc_home(flight)
    coasts: tuple[Arc, ...] = ()
    if arc is not None:
        begin = max(arc.begin.t, flight.end.lift_off + point.elapsed)
        here = arc.at(begin)
        coasts = (Arc(here.r, here.v, begin, arc.interface.t),)
    return WayOut(
        name=name,
        called=point.elapsed,
        craft=craft,
        burns=burns,
        home=splash.t - flight.end.lift_off if splash else None,
        lands=LandingPlace(splash.latitude, splash.longitude) if splash else None,
        closed=closed,
        note=note,
        estimate=f"splash: {splash.estimate}" if splash and splash.estimate else "",
        arcs=coasts,
    )


def _home(
    point: CabinPoint, lost: LostEngines, arc: ArcHome, state: State, craft: Craft
) -> Iterator[WayOut]:
    """Yield the plan's way home: with its corrections by each engine, and without them."""
    ahead = corrections_ahead(point.flight, point.elapsed)
    if not ahead:
        yield _planned(point, AS_PLANNED, craft, note="no correction is left to be made")
        return
    planned = ahead[0].element, ahead[0].engine
    found = sorted(burners(state, craft, lost), key=lambda x: x.key != planned)
    alone = [_corrected(point, ahead, x, state, craft) for x in found]
    yield from alone
    if all(x.closed for x in alone):
        yield from _corrected_in_turn(point, ahead, found, state, craft)
    yield _uncorrected(point, ahead[0], craft)


def _corrected(
    point: CabinPoint, ahead: list[BurnRecord], burner: Burner, state: State, craft: Craft
) -> WayOut:
    """Return the plan's way home with its corrections made by an engine."""
    there, burns = burner.available(state, craft), []
    for each in ahead:
        burns.append(
            WayBurn("midcourse correction", *burner.key, each.elapsed, each.required, there)
        )
        there -= each.required
    planned = burner.key == (ahead[0].element, ahead[0].engine)
    name = AS_PLANNED if planned else f"return as planned, corrected by {burner.title}"
    short = next((x for x in burns if x.margin < 0.0), None)
    why = lacks(short) if short else uncontrolled(point.flight, state, craft, burner)
    return _planned(point, name, craft, tuple(burns), closed=why, note=_if_not(point.flight, ahead))


def _corrected_in_turn(
    point: CabinPoint, ahead: list[BurnRecord], found: list[Burner], state: State, craft: Craft
) -> Iterator[WayOut]:
    """Yield the plan's way home, corrected by all that one engine has, then by another: the first.

    Both must hold the craft, and have enough between them.
    """
    able = [x for x in found if not uncontrolled(point.flight, state, craft, x)]
    for first, second in permutations(able, 2):
        burns, after = list[WayBurn](), state
        for each in ahead:
            lacking = each.required
            for burner in (first, second):
                there = burner.available(after, craft)
                size = lacking if burner == second else min(lacking, there)
                if size > 0.0:
                    what = "midcourse correction"
                    burns.append(WayBurn(what, *burner.key, each.elapsed, size, there))
                    after, lacking = spent(after, craft, burner, size), lacking - size
        if all(x.margin >= 0.0 for x in burns):
            name = f"return as planned, corrected by {first.title}, then {second.title}"
            yield _planned(point, name, craft, tuple(burns), note=_if_not(point.flight, ahead))
            return


def _if_not(flight: Flight, ahead: list[BurnRecord]) -> str:
    steep, shallow = angles_without(flight, ahead[0])
    return f"uncorrected, the entry angle lies anywhere from {_degrees(steep, shallow)}"


def _degrees(steep: float, shallow: float) -> str:
    far = "a pass above the air" if shallow == 0.0 else f"{shallow / c.DEG:.2f} deg"
    near = "a pass above the air" if steep == 0.0 else f"{steep / c.DEG:.2f} deg"
    return f"{near} to {far}"


def _uncorrected(point: CabinPoint, correction: BurnRecord, craft: Craft) -> WayOut:
    """Return the way home with the aim left as it may be: open while the corridor holds it all."""
    steep, shallow = angles_without(point.flight, correction)
    edges = corridor_of(point.flight)
    said = f"the entry angle lies anywhere from {_degrees(steep, shallow)}"
    if edges is None:
        return _planned(point, UNCORRECTED, craft, closed=f"{said}, and no corridor is known")
    held = f"the corridor is {_degrees(edges.steep, edges.shallow)}"
    good = edges.steep <= steep and shallow <= edges.shallow
    why = "" if good else f"{said}; {held}"
    return _planned(point, UNCORRECTED, craft, closed=why, note=f"{said}; {held}" if good else "")
