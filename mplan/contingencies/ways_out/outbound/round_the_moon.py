"""On round the Moon and home: a trim now, and a burn past the Moon that brings home the sooner."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from mplan.contingencies.ways_out.at_the_moon.leaving import READY
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.pushed_home import PushedBurn, Pushing
from mplan.contingencies.ways_out.outbound.told import NamedBurn, shut, told
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.circumlunar.coast_past import (
    CorrectionHome,
    hits_moon,
    least_correction,
)
from mplan.physics.circumlunar.flyby_return import FlybyReturn, return_around
from mplan.physics.circumlunar.hastened_return import hastened_return
from mplan.vehicle.same import Same

TRIM, HASTE = "trim to a flyby return", "return burn past perilune"
UNTRIMMED = 0.5  # m/s: a smaller trim is not made (our choice)
# Of what is left, that are tried until arc and entry can be flown. The first keeps a twentieth for
# the corrections that a burn of this size asks for (common practice, no source).
SHARES = (0.95, 0.75, 0.5)
WORTH = 30.0  # m/s left, with which it is worth a burn past the Moon (our choice)
LATER = 2  # times that a long trim is put off
BEFORE = 600.0  # s before perilune at least, for a trim


def around(way: OnTheWay, light: Pushing, whole: Pushing) -> Iterator[WayOut]:
    """Yield the flyby return by an engine, all that is joined kept, and the hastened one."""
    past = way.perilune
    if past is None:
        return
    if past.t - BEFORE > way.ready.t:
        yield _flyby(way, light, whole)
    if light.main:
        yield from _hastened(way, light, past)


def _flyby(
    way: OnTheWay, light: Pushing, whole: Pushing, wait: float = READY, puts_off: int = LATER
) -> WayOut:
    """Return the flyby return; a weak engine, whose burn begins when it can, makes it later."""
    name = f"flyby return by {light.burner.title}"
    here = way.after(wait)
    found = _trim(Same(here), way.entry_angle)
    if isinstance(found, str):
        return shut(way, whole, name, found)
    pushes = whole if found.trim.delta_v <= whole.available else light
    lasts = pushes.lasts(min(found.trim.delta_v, pushes.available))
    if lasts / 2.0 > wait and puts_off:
        return _flyby(way, light, whole, lasts / 2.0 + READY, puts_off - 1)
    return told(way, pushes, name, [NamedBurn(TRIM, _impulse(here, pushes, found.trim))])


def _trimmed(way: OnTheWay) -> FlybyReturn | str:
    """Return the trim as soon as can be and where it leads, or why there is none."""
    return _trim(Same(way.ready), way.entry_angle)


@lru_cache(maxsize=256)  # one for all engines and failures at a time
def _trim(of: Same[nbody.Arrival], angle: float) -> FlybyReturn | str:
    here = of.it
    try:
        return return_around(nbody.ArcStart(here.r, here.v, here.t, 0.0), angle)
    except ArithmeticError as problem:
        return str(problem)


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
    found = _trimmed(way) if past.t - BEFORE > way.ready.t else ""
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
            home = hastened_return(here, share * left, way.entry_angle)
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
    """Yield ways home from near the Moon by a burn as soon as can be: the soonest and the least."""
    name = f"direct return from the Moon by {light.burner.title}"
    here = way.ready
    if light.main:
        yield _soonest(way, light, name, here, light.available, [])
    begin = nbody.ArcStart(here.r, here.v, here.t, 12.0 * c.DAY)
    try:
        least = least_correction(begin, np.zeros(3), way.entry_angle)
    except ArithmeticError:
        if not light.main:
            yield _soonest(way, light, name, here, light.available, [])
        return
    if least.delta_v < 0.9 * light.available or not light.main:
        burn = NamedBurn(HASTE, _impulse(here, light, least))
        yield told(way, light, f"{name}, least delta-v", [burn])
