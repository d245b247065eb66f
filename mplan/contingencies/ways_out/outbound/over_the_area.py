"""Down to a named area whose passes lead beside it: two burns, the first for phasing.

The first raises the apogee, so that revolutions take longer and Earth turns on below: by as much as
brings an apogee to where a burn leads down to the area. It is made where the apogee comes to lie
over the area's latitude. Both are flown out, and their place and size corrected by where that
leads. Crew safety rests on this: a planning study's figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import pi
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.at_the_moon.leaving import READY
from mplan.contingencies.ways_out.outbound.deorbit import (
    AHEAD,
    LONGEST,
    ROUND,
    STEP,
    FallDown,
    deorbited,
    down_after,
    down_from,
    fall_from,
    least_down,
    off_middle,
    splashes,
    tops_ahead,
)
from mplan.contingencies.ways_out.outbound.in_several_burns import most_in_one_burn
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.pushed_home import (
    Pushing,
    burned_on,
    left_behind,
    pushing,
)
from mplan.contingencies.ways_out.way_out import LandingPlace, WayBurn, WayOut
from mplan.flight.entry import aimed_range
from mplan.flight.state import Arc
from mplan.physics import constants as c
from mplan.physics.arcs import nbody, thrust_arc
from mplan.physics.bodies import earth
from mplan.physics.bodies.downrange import place_ahead, wrapped
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import conic, period, speed
from mplan.physics.vectors import cross, length, unit
from mplan.scenario import Scenario
from mplan.scenario.models import Recovery

PHASING = "phasing burn"
SIZES = tuple(np.arange(50.0, 301.0, 50.0).tolist())  # m/s, of a phasing burn: up to some 1,200 km
APART = 25.0  # m/s, by which one is larger or smaller than these (our choice)
DOWN = 250.0  # m/s kept for the burn down: it takes less from higher up (our choice)
TRIED, TRIES = 3, 6  # phasings, the soonest, that are flown; corrections of each
INSIDE = 0.5  # of the area's radius, within which its middle is met
FURTHEST = 600.0  # s, by which a place is moved at a time


class _Phasing(NamedTuple):
    """A phasing burn of a `size` [m/s], `wait` [s] on, and how long after it the burn down is."""

    wait: float
    size: float
    after: float


def is_over(area: Recovery, there: LandingPlace | None) -> bool:
    """Tell whether a place lies within an area."""
    return there is not None and off_middle(there, area) <= area.radius


def by_two_burns(way: OnTheWay, pushes: Pushing, area: Recovery) -> Iterator[WayOut]:
    """Yield the way down to an area by a phasing burn and a burn down; none where none is found.

    Within two days, from what is about a circle: the soonest that the engine has enough for.
    """
    if conic(way.ready.r, way.ready.v, c.MU_EARTH).e > ROUND:
        return
    for guess in sorted(_phasings(way, pushes, area), key=_lasts)[:TRIED]:
        try:
            found = _flown(way, pushes, area, guess)
        except ArithmeticError:
            continue
        if not found.closed and is_over(area, found.lands):
            yield found
            return


def _lasts(phasing: _Phasing) -> float:
    return phasing.wait + phasing.after


def _phasings(way: OnTheWay, pushes: Pushing, area: Recovery) -> Iterator[_Phasing]:
    """Yield phasings that lead over an area, by conics whose plane stays.

    How a burn leads down from the apogee is flown for a few sizes: the higher, the further on.
    """
    ready, scenario = way.ready, way.flight.scenario
    orbit = conic(ready.r, ready.v, c.MU_EARTH)
    most = min(SIZES[-1], pushes.available - DOWN, most_in_one_burn(pushes, orbit, 1.0))
    after = np.arange(0.0, period(orbit.a, c.MU_EARTH), STEP)
    path = nbody.path(ready.r, ready.v, ready.t, after)
    for about in (x for x in SIZES if x - APART <= most):
        fall = _fall_after(scenario, ready, about)
        # the apogee lies opposite: what a burn there would lead to if it were made at once
        north, east = splashes(scenario, ready.t + after, -path[:, :3], -path[:, 3:6], fall)
        for i in _places(north, area):
            turn = float(east[i] - area.longitude) % (2.0 * pi)
            yield from (
                _Phasing(float(after[i]), size, lasts)
                for size, lasts in _sizes(orbit.a, turn)
                if abs(size - about) <= APART and size <= most and after[i] + lasts <= LONGEST
            )


def _fall_after(scenario: Scenario, ready: nbody.Arrival, size: float) -> FallDown:
    """Return how a burn leads down from the apogee that a phasing burn of a `size` [m/s] raises."""
    v = ready.v + size * unit(ready.v)
    half = period(conic(ready.r, v, c.MU_EARTH).a, c.MU_EARTH) / 2.0
    top = nbody.fly_arc(ready.r, v, ready.t, half)
    return fall_from(top, least_down(scenario, top, -np.inf).home)


def _places(north: np.ndarray, area: Recovery) -> list[int]:
    """Return the places of a revolution that come nearest to the latitude of an area, if any do."""
    off = np.abs(north - area.latitude)
    least = (off <= np.roll(off, 1)) & (off < np.roll(off, -1))
    return [int(i) for i in np.flatnonzero(least) if off[i] * c.R_EARTH < area.radius]


def _sizes(radius: float, turn: float) -> Iterator[tuple[float, float]]:
    """Yield sizes [m/s] of phasing burns after which Earth has turned on by `turn` at an apogee.

    With each the time [s] to that apogee.
    """
    shortest = period(radius, c.MU_EARTH)
    for revolutions in np.arange(0.5, LONGEST / shortest, 1.0).tolist():
        whole = 2.0 * pi * np.ceil((revolutions * shortest * earth.SIDEREAL_RATE - turn) / (2 * pi))
        lasts = (turn + float(whole)) / earth.SIDEREAL_RATE
        a = (c.MU_EARTH * (lasts / revolutions / (2.0 * pi)) ** 2) ** (1.0 / 3.0)
        yield speed(radius, a, c.MU_EARTH) - speed(radius, radius, c.MU_EARTH), lasts


def _flown(way: OnTheWay, pushes: Pushing, area: Recovery, guess: _Phasing) -> WayOut:
    """Return the way of a phasing as flown, its place and size corrected by where it leads."""
    for _ in range(TRIES):
        begin = max(READY, READY + guess.wait - pushes.lasts(guess.size) / 2.0)
        here, size = way.after(begin), guess.size
        then = burned_on(way, pushes, here, size, thrust_arc.along_velocity(1.0))
        guess, off = _corrected(then, area, guess, way.ready.t + guess.wait)
        if off < INSIDE * area.radius:
            break
    else:
        raise NoArc("no phasing was found that leads to the area")
    own = next((x for x, _ in pushing(then) if x.burner.key == pushes.burner.key), None)
    if own is None:
        raise ArithmeticError("its tanks are empty")
    found = deorbited(then, own, area)
    burn = WayBurn(PHASING, *pushes.burner.key, here.t - way.state.lift_off, size, pushes.available)
    phased = conic(then.now.r, then.now.v, c.MU_EARTH)
    said = (left_behind(way, pushes.kept), down_from(phased), found.note)
    return replace(
        found,
        name=f"{found.name} in 2 burns",
        called=way.called,
        burns=(burn, *found.burns) if found.burns else (),
        note="; ".join(x for x in said if x),
        arcs=(Arc(way.now.r, way.now.v, way.now.t, here.t), *found.arcs),
    )


def _corrected(
    way: OnTheWay, area: Recovery, guess: _Phasing, burned: float
) -> tuple[_Phasing, float]:
    """Return a better phasing than one flown, and how far [m] from the area's middle that leads.

    Later by some seconds it leads so much further along its track; larger, further west.
    `burned` is its time [TDB s].
    """
    scenario, ready = way.flight.scenario, way.ready
    tops = tops_ahead(ready)
    top = float(tops[np.argmin(np.abs(ready.t + tops - burned - guess.after))])
    place = down_after(scenario, ready, top)
    end, aimed = place.home.interface, aimed_range(scenario)
    there, on = (place_ahead(end.r, end.v, end.t, aimed + x) for x in (0.0, AHEAD))
    r, v = place.here.r, place.here.v
    orbit = conic(way.now.r, way.now.v, c.MU_EARTH)
    turn, after = period(orbit.a, c.MU_EARTH), place.here.t - burned
    pace = length(cross(r, v)) / length(r) ** 2 * c.R_EARTH / AHEAD  # 1/s, of that piece of track
    north, east = (on[0] - there[0]) * pace, wrapped(on[1] - there[1]) * pace
    later = (area.latitude - there[0]) / north if north else 0.0
    later = max(-FURTHEST, min(FURTHEST, later))
    longer = 3.0 * turn * orbit.a * length(way.now.v) / c.MU_EARTH  # s by m/s (vis-viva)
    west = earth.SIDEREAL_RATE * after / turn * longer  # rad by m/s
    left = wrapped(area.longitude - there[1]) - (east - earth.SIDEREAL_RATE) * later
    size = max(APART, min(SIZES[-1] + APART, guess.size - left / west))
    return _Phasing(max(0.0, guess.wait + later), size, after), off_middle(there, area)
