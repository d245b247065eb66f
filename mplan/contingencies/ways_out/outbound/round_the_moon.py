"""On round the Moon and home: a trim now, and a burn past the Moon that brings home the sooner."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from functools import lru_cache
from math import copysign, pi

import numpy as np

from mplan.contingencies.ways_out.at_the_moon.leaving import READY
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.once import once
from mplan.contingencies.ways_out.outbound.pushed_home import PushedBurn, Pushing
from mplan.contingencies.ways_out.outbound.told import NamedBurn, shut, told
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.homeward import goal
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.recovery import late_by
from mplan.physics.circumlunar.coast_past import (
    CorrectionHome,
    hits_moon,
    least_correction,
)
from mplan.physics.circumlunar.flyby_return import (
    FlybyReturn,
    return_around,
    return_around_in,
)
from mplan.physics.circumlunar.hastened_return import hastened_return
from mplan.scenario import Scenario
from mplan.vehicle.same import Same

TRIM, HASTE = "trim to a flyby return", "return burn past perilune"
UNTRIMMED = 0.5  # m/s: a smaller trim is not made (our choice)
# Of what is left, that are tried until arc and entry can be flown. The first keeps a twentieth for
# the corrections that a burn of this size asks for (common practice, no source).
SHARES = (0.95, 0.75, 0.5)
WORTH = 30.0  # m/s left, with which it is worth a burn past the Moon (our choice)
LATER = 2  # times that a long trim is put off
TIMINGS, ON_TIME = 4, 60.0  # tries to come down at a longitude; s, a quarter of a degree
SIDEREAL_DAY = 2.0 * pi / c.W_EARTH  # s
BEFORE = 600.0  # s before perilune at least, for a trim (our choice)
# s past perilune, or from now on past it: of a burn there the direction of the arc is still to be
# turned, further out it is along it, and one of these gains most time (our choice)
WAITS = (0.0, 0.5 * c.HOUR, c.HOUR, 2.0 * c.HOUR, 4.0 * c.HOUR)
LONGEST = 12.0 * c.DAY  # s, for which an arc home is followed (our choice)


def passing(way: OnTheWay) -> bool:
    """Tell whether the Moon is passed, or too near for a trim before it."""
    past = way.perilune
    return past is not None and past.t - BEFORE <= way.ready.t


def around(way: OnTheWay, light: Pushing, whole: Pushing) -> Iterator[WayOut]:
    """Yield the flyby return by an engine, all that is joined kept, and the hastened one.

    For a craft that is not `passing` the Moon yet.
    """
    past = way.perilune
    if past is None:
        return
    yield _flyby(way, light, whole)
    if light.main:
        yield from _hastened(way, light, past)


def _flyby(
    way: OnTheWay, light: Pushing, whole: Pushing, wait: float = READY, puts_off: int = LATER
) -> WayOut:
    """Return the flyby return, to the recovery area's longitude if there is one and it can be.

    A weak engine, whose burn begins when it can, makes it later.
    """
    name = f"flyby return by {light.burner.title}"
    here = way.after(wait)
    found = _trim(Same(here), way.entry_angle)
    if isinstance(found, str):
        return shut(way, whole, name, found)
    pushes = _able(light, whole, found)
    lasts = pushes.lasts(min(found.trim.delta_v, pushes.available))
    if lasts / 2.0 > wait and puts_off:
        return _flyby(way, light, whole, lasts / 2.0 + READY, puts_off - 1)
    timed = _timed(Same(way.flight.scenario), Same(here), Same(found))
    for each in (found,) if timed is found else (timed, found):
        pushes = _able(light, whole, each)
        burn = NamedBurn(TRIM, _impulse(here, pushes, each.trim))
        way_out = told(way, pushes, name, [burn])
        if not way_out.closed:
            break
    return way_out


def _able(light: Pushing, whole: Pushing, found: FlybyReturn) -> Pushing:
    """Return what an engine pushes: all that is joined where it has enough for that."""
    return whole if found.trim.delta_v <= whole.available else light


def trimmed(way: OnTheWay) -> FlybyReturn | str:
    """Return the trim as soon as can be and where it leads, or why there is none."""
    return _trim(Same(way.ready), way.entry_angle)


@lru_cache(maxsize=256)  # one for all engines and failures at a time
def _trim(of: Same[nbody.Arrival], angle: float) -> FlybyReturn | str:
    here = of.it
    try:
        return return_around(nbody.ArcStart(here.r, here.v, here.t, 0.0), angle)
    except ArithmeticError as problem:
        return str(problem)


@lru_cache(maxsize=256)
def _timed(of: Same[Scenario], at: Same[nbody.Arrival], near: Same[FlybyReturn]) -> FlybyReturn:
    """Return the flyby return at the longitude of the recovery area; the one given without one.

    The arrival is moved to the nearest time that leads there, half a day off at most; where no arc
    does, to that of the day before or after. The latitude follows from the plane, the cheapest.
    """
    scenario, here, found = of.it, at.it, near.it
    if scenario.recovery is None:
        return found
    shift = late_by(found.trim.interface, goal(scenario))
    for day in (0.0, -copysign(SIDEREAL_DAY, shift)):
        with suppress(ArithmeticError):
            return _moved(scenario, here, found, shift + day)
    return found


def _moved(
    scenario: Scenario, here: nbody.Arrival, found: FlybyReturn, shift: float
) -> FlybyReturn:
    """Return the flyby return that is later by a `shift` [s], and comes down at the longitude."""
    begin, wanted = nbody.ArcStart(here.r, here.v, here.t, 0.0), goal(scenario)
    for _ in range(TIMINGS):
        lasts = found.trim.interface.t - here.t + shift
        found = return_around_in(begin, found, lasts, scenario.orbits.entry_angle)
        shift = late_by(found.trim.interface, wanted)
        if abs(shift) < ON_TIME:
            break
    return found


def _impulse(here: nbody.Arrival, pushes: Pushing, home: CorrectionHome) -> PushedBurn:
    """Return a small burn far from both bodies, which loses nothing by taking time."""
    after = nbody.ArcStart(here.r, here.v + home.burn, here.t, 0.0)
    return PushedBurn(here.t, home.delta_v, pushes.lasts(home.delta_v), after, home.interface)


def _hastened(way: OnTheWay, light: Pushing, past: nbody.Arrival) -> Iterator[WayOut]:
    """Yield the soonest way home with what an engine has, past the Moon.

    The trim is made first where there is one and time for it; what it leaves burns past the Moon.
    """
    name = f"fast flyby return by {light.burner.title}"
    burns, left = list[NamedBurn](), light.available
    found = trimmed(way)
    if isinstance(found, FlybyReturn) and UNTRIMMED < found.trim.delta_v < left:
        burns = [NamedBurn(TRIM, _impulse(way.ready, light, found.trim))]
        left, past = left - found.trim.delta_v, found.perilune
    if left < WORTH:
        return
    wait = max(way.flight.scenario.aborts.home_correction, way.ready.t - past.t)
    here = nbody.fly_arc(past.r, past.v, past.t, wait)
    if hits_moon(past, here.t):
        yield shut(way, light, name, "the arc meets the Moon before it can burn")
        return
    yield _soonest(way, light, name, here, left, burns)


def _soonest(
    way: OnTheWay,
    light: Pushing,
    name: str,
    here: nbody.Arrival,
    left: float,
    burns: list[NamedBurn],
) -> WayOut:
    """Return the way home from near the Moon with what is left, or the share of it that serves."""
    found = shut(way, light, name, "")
    for share in SHARES:
        try:
            home = once(hastened_return, here, share * left, way.entry_angle)
        except ArithmeticError as problem:
            if not found.closed:
                found = shut(way, light, name, str(problem))
            continue
        burn = NamedBurn(HASTE, _impulse(here, light, home))
        found = told(way, light, name, [*burns, burn])
        if not found.closed:
            break
    return found


def past_the_moon(way: OnTheWay, light: Pushing) -> Iterator[WayOut]:
    """Yield ways home by a burn as soon as can be past perilune: the soonest and the least."""
    name = f"direct return from the Moon by {light.burner.title}"
    here, past = way.ready, way.perilune
    if past is not None and past.t > here.t:
        here = past
    if light.main:
        yield _soonest(way, light, name, here, light.available, [])
    try:
        least = once(least_home, here, way.entry_angle)
    except ArithmeticError:
        if not light.main:
            yield _soonest(way, light, name, here, light.available, [])
        return
    if least.delta_v < 0.9 * light.available or not light.main:
        burn = NamedBurn(HASTE, _impulse(here, light, least))
        yield told(way, light, f"{name}, least delta-v", [burn])


def sooner_past_the_moon(way: OnTheWay, light: Pushing) -> Iterator[WayOut]:
    """Yield the way home by a main engine that is soonest with what it has, of burns past perilune.

    None where none of them leads home.
    """
    past, found = _passed(way), list[WayOut]()
    if not light.main or light.available < WORTH:
        return
    name = f"fast return from the Moon by {light.burner.title}"
    for wait in WAITS:
        try:
            here = nbody.fly_arc(past.r, past.v, past.t, wait)
        except ArithmeticError:
            break
        if hits_moon(past, here.t):
            break
        found.append(_soonest(way, light, name, here, light.available, []))
    good = [x for x in found if not x.closed]
    if good:
        yield min(good, key=lambda x: x.home or 0.0)


def _passed(way: OnTheWay) -> nbody.Arrival:
    """Return where the Moon is passed, or a craft that leaves it as soon as it is ready."""
    here, past = way.ready, way.perilune
    leaves = float(here.lunar_r @ here.lunar_v) > 0.0
    return here if leaves or past is None else past


def least_home(here: nbody.Arrival, angle: float) -> CorrectionHome:
    """Return the least burn that brings an arc past the Moon home; NoArc without one."""
    begin = nbody.ArcStart(here.r, here.v, here.t, LONGEST)
    return least_correction(begin, np.zeros(3), angle)
