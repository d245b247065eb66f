"""The part of a way at the Moon, event by event: in orbit, down, on the ground, up, to the ship."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from mplan.flight.descent import site
from mplan.flight.lunar_ascent import plane
from mplan.flight.record import BurnRecord, Passage
from mplan.flight.state import Craft, State
from mplan.flight.whereabouts.meetings import met
from mplan.flight.whereabouts.stretch import WayStretch, times
from mplan.physics.arcs import nbody
from mplan.physics.arcs.lunar_orbit import PIECE, LunarOrbit, coast
from mplan.physics.bodies import ephemeris, lunar_axes, selenography
from mplan.physics.bodies.lunar_axes import Axes
from mplan.physics.rendezvous.meeting import Meeting

STEP = 60.0  # s: three degrees of a low orbit
ON_GROUND = 900.0  # s: 0.1 deg of Earth's place over the site
POWERED = 5.0  # s


def of_passage(passage: Passage, element: str, lander: Craft, begin: float) -> Iterator[WayStretch]:
    """Yield where an element is while an event lasts, from `begin` [TDB s] at the earliest.

    `lander` are the elements that were last led to an orbit of their own, () before any was.
    """
    before, after, burn = passage.before, passage.after, passage.burn
    own = burn is not None and element in before.joined(burn.element)
    if burn is not None and own and burn.leg == "powered descent":
        yield from _down(before, after, burn)
    elif burn is not None and own and burn.leg == "lunar ascent":
        yield from _up(before, after, burn)
    elif own and (meeting := _meeting(passage)) is not None:
        yield from _round(before.lander or before.orbit, before.t, meeting.active.t)
        yield met(meeting)
    elif before.landed and element in before.joined(before.landed):
        yield _standing(before, before.t, after.t)
    elif before.lander is not None and element in lander:
        yield from _round(before.lander, before.t, after.t)
    else:
        yield from _in_orbit(before, after, burn, begin)


def _in_orbit(
    before: State, after: State, burn: BurnRecord | None, begin: float
) -> Iterator[WayStretch]:
    """Yield the ship's orbit: up to the middle of a burn that before it, then the one after."""
    middle = after.t
    if burn is not None and before.moon is not None and after.moon is not None:
        middle = after.lift_off + burn.elapsed + burn.duration / 2.0
    if before.moon is not None:
        yield from _round(before.orbit, max(begin, before.t), middle)
    else:
        middle = max(begin, before.t)
    if after.moon is not None and after.t > middle:
        yield from _round(after.orbit, middle, after.t)


def _round(orbit: LunarOrbit, begin: float, end: float) -> Iterator[WayStretch]:
    """Yield an orbit from one time to another, in pieces as it is flown."""
    while end > begin:
        orbit = coast(orbit, begin - orbit.t)
        until = min(end, begin + PIECE)
        t = times(begin, until, STEP)
        luna = ephemeris.moon(begin)
        path = nbody.path(orbit.r + luna.r, orbit.v + luna.v, begin, t - begin, degree=orbit.degree)
        yield WayStretch("lunar orbit", t, path[:, :3])
        begin = until


def _standing(state: State, begin: float, end: float) -> WayStretch:
    """Return the landing site from one time to another."""
    t, place = times(begin, end, ON_GROUND), state.scenario.site
    r = [
        selenography.site_position(place.latitude, place.longitude, x, place.elevation)
        for x in t.tolist()
    ]
    return WayStretch("on the Moon", t, ephemeris.moon(t).r + np.array(r))


def _down(before: State, after: State, burn: BurnRecord) -> Iterator[WayStretch]:
    """Yield the coast to ignition and the powered descent, if one was flown."""
    ignition = before.lift_off + burn.elapsed
    if before.lander is not None:
        yield from _round(before.lander, before.t, ignition)
    flown = after.descent
    if flown is not None and before.lander is not None:
        place = site(before)
        orbit = coast(before.lander, before.t - before.lander.t)
        axes = lunar_axes.site_axes(place, orbit.normal, before.t)
        t, r = flown.track.t, flown.track.place
        yield _powered("powered descent", t, r, axes, ignition, turning=True)


def _up(before: State, after: State, burn: BurnRecord) -> Iterator[WayStretch]:
    """Yield the wait on the ground and the ascent, if one was flown."""
    ignition = before.lift_off + burn.elapsed
    if ignition > before.t:
        yield _standing(before, before.t, ignition)
    flown = after.lunar_ascent
    if flown is not None:
        at = before.until(ignition)
        axes = plane(at) if after.lander is not None else _level(at)
        t, r = flown.track.t, flown.track.place
        yield _powered("lunar ascent", t, r, axes, ignition, turning=False)


def _level(at: State) -> Axes:
    """Return the axes in which a craft rises that nobody waits for."""
    return lunar_axes.site_axes(site(at), at.orbit.normal, at.t)


def _powered(
    name: str, after: np.ndarray, place: np.ndarray, axes: Axes, ignition: float, *, turning: bool
) -> WayStretch:
    """Return a powered flight: places `after` ignition [s], in axes that turn or stand still."""
    since, once = np.unique(after, return_index=True)
    t, r = ignition + since, place[once] @ axes.matrix
    if turning:
        fixed = r @ selenography.moon_fixed_axes(axes.t).T
        turned = [selenography.moon_fixed_axes(x) for x in t.tolist()]
        r = np.einsum("ni,nij->nj", fixed, np.array(turned))
    return WayStretch(name, t, ephemeris.moon(t).r + r)


def _meeting(passage: Passage) -> Meeting | None:
    """Return the rendezvous that was flown in an event at the Moon, if one was."""
    before, after, burn = passage.before, passage.after, passage.burn
    if burn is not None and burn.leg == "rendezvous" and after.rendezvous is not None:
        return after.rendezvous.meeting
    return after.met[-1][0] if len(after.met) > len(before.met) else None
