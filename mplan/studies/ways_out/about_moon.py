"""What a way out does about the Moon, to be drawn: orbits, burns on them, how it leaves.

Seen from the Moon's centre, which does not turn. Orbits are drawn as conics about a point; where a
burn stands on one, and the arc that leaves, are flown.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.way_out import MoonCoast, WayBurn, WayOut
from mplan.flight.record import Flight
from mplan.flight.state import Arc
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.lunar_orbit import OrbitKey, coast, key_of, places_ahead
from mplan.physics.arcs.orbit import Orbit, apsides
from mplan.physics.bodies import ephemeris
from mplan.physics.vectors import cross, length, unit

POINTS = 120  # of a revolution, and of an arc
NEAR = 2.5e7  # m from the Moon's centre, within which a burn is one about the Moon
LEAST = 1.25 * c.R_MOON  # m that is drawn
ROOM = 1.15  # times the farthest place of an orbit or a burn, that is drawn
BEYOND = 1.6  # times that, up to which an arc is followed: it leaves the picture
SOON = 1.0  # s
ONE_ARC = 2.0 * c.HOUR  # s, between a burn and the arc that begins with it
ALIKE = 5e3, 1.0 * c.DEG  # m and rad, within which two orbits are one line in the picture


class MoonPath(NamedTuple):
    """A line: its name and places (n, 3) [m] from the Moon's centre, ICRF axes."""

    name: str
    r: np.ndarray


class MoonBurn(NamedTuple):
    """A burn: its number among those of the way, what it is, its time [s since lift-off], place."""

    number: int
    what: str
    elapsed: float
    r: np.ndarray


class AboutMoon(NamedTuple):
    """All there is to draw: `axes` (2, 3) across and away from Earth, `reach` [m] what is shown."""

    orbits: tuple[MoonPath, ...]
    leaving: tuple[MoonPath, ...]
    burns: tuple[MoonBurn, ...]
    axes: np.ndarray
    reach: float


def about_moon(way: WayOut, flight: Flight) -> AboutMoon | None:
    """Return what a way out does about the Moon; None where it burns nowhere near it."""
    if not flight.dated:
        return None
    burns = tuple(_burns(way, flight.end.lift_off))
    if not way.orbits and not burns:
        return None
    farthest = [apsides(x.orbit)[1] for x in way.orbits if x.orbit.a > 0.0]
    reach = ROOM * max(*farthest, *(length(x.r) for x in burns), LEAST)
    leaving = tuple(_leaving(way, reach))
    orbits = tuple(_drawn(way.orbits))
    return AboutMoon(orbits, leaving, burns, _axes(way, flight, leaving), reach)


def _drawn(coasts: tuple[MoonCoast, ...]) -> Iterator[MoonPath]:
    """Yield the ellipses, one of those that are as good as one."""
    seen: list[Orbit] = []
    for each in coasts:
        orbit = each.orbit
        if orbit.a < 0.0 or any(_alike(orbit, x) for x in seen):
            continue
        seen.append(orbit)
        yield MoonPath(each.what, np.vstack([orbit.r, places_ahead(orbit, POINTS).r]))


def _alike(one: Orbit, other: Orbit) -> bool:
    apart, turned = ALIKE
    off = max(abs(x - y) for x, y in zip(apsides(one), apsides(other), strict=True))
    return off < apart and float(one.normal @ other.normal) > np.cos(turned)


def _burns(way: WayOut, lift_off: float) -> Iterator[MoonBurn]:
    """Yield the burns that are made near the Moon."""
    for number, burn in enumerate(way.burns, 1):
        place = _place(way, burn, lift_off + burn.elapsed)
        if place is not None and length(place) < NEAR:
            yield MoonBurn(number, burn.what, burn.elapsed, place)


def _place(way: WayOut, burn: WayBurn, t: float) -> np.ndarray | None:
    """Return where a burn is made, from the Moon's centre [m]; None where nothing tells."""
    begun = [x for x in way.arcs if abs(x.begin - t) < ONE_ARC]
    arc = min(begun, key=lambda x: abs(x.begin - t), default=None)
    own = [x for x in way.orbits if burn.element in x.craft]
    known = own or [x for x in way.orbits if not x.craft]
    if arc is not None and not any(abs(x.orbit.t - t) < ONE_ARC for x in known):
        return arc.r - ephemeris.moon(arc.begin).r
    if not known:
        return None
    before = [x for x in known if x.orbit.t <= t + SOON]
    if not before:  # of an ascent, where it ends
        return known[0].orbit.r
    last = max(before, key=lambda x: x.orbit.t).orbit
    return _later(key_of(last), max(0.0, t - last.t))


@lru_cache(maxsize=256)  # as a slider comes back
def _later(orbit: OrbitKey, wait: float) -> np.ndarray:
    return coast(orbit.orbit, wait).r


def _leaving(way: WayOut, reach: float) -> Iterator[MoonPath]:
    """Yield the arcs as far as they run near the Moon."""
    for number, arc in enumerate(way.arcs, 1):
        near = _near(arc, BEYOND * reach)
        if near is not None:
            yield MoonPath("the way home" if number == len(way.arcs) else "on the way out", near)


def _near(arc: Arc, reach: float) -> np.ndarray | None:
    """Return the places (n, 3) [m] of an arc within `reach` [m] of the Moon; None of none."""
    begin, end = 0.0, arc.end - arc.begin
    found = _places(arc, np.linspace(begin, end, POINTS))
    for _ in range(2):  # looked at twice, the second time closely
        inside = np.flatnonzero(np.linalg.norm(found[1], axis=1) < reach)
        if not inside.size:
            return None
        first, last = max(0, inside[0] - 1), min(POINTS - 1, inside[-1] + 1)
        found = _places(arc, np.linspace(found[0][first], found[0][last], POINTS))
    return found[1]


def _places(arc: Arc, after: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return times and places `after` [s] the beginning of an arc, from the Moon's centre [m]."""
    whole = np.concatenate([[0.0], after]) if after[0] > 0.0 else after
    states = nbody.path(arc.r, arc.v, arc.begin, whole)[-len(after) :]
    return after, states[:, :3] - states[:, 6:9]


def _axes(way: WayOut, flight: Flight, leaving: tuple[MoonPath, ...]) -> np.ndarray:
    """Return the axes of the first orbit's plane (2, 3), Earth at the bottom as far as it can be.

    Without an orbit the plane is that of the arc.
    """
    if way.orbits:
        normal = way.orbits[0].orbit.normal
        t = way.orbits[0].orbit.t
    else:
        r = leaving[-1].r if leaving else np.eye(3)
        normal = unit(cross(r[0], r[len(r) // 2]))
        t = flight.end.lift_off + way.called
    away = ephemeris.moon(t).r
    up = unit(away - float(away @ normal) * normal)
    return np.array([cross(up, normal), up])
