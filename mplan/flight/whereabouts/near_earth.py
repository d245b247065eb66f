"""The part of a way near Earth: the climb, the orbit about Earth, a meeting there, the entry."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, sin

import numpy as np

from mplan.flight.entry import Entry, Splash
from mplan.flight.state import State
from mplan.flight.whereabouts.meetings import met_over_earth
from mplan.flight.whereabouts.stretch import WayStretch, times
from mplan.physics.arcs.orbit import EarthOrbit
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import earth
from mplan.physics.entry.entry_flight import entry_axes

STEP = 30.0  # s: two degrees of an orbit about Earth
FALL = 20.0  # s


def until_departure(end: State) -> Iterator[WayStretch]:
    """Yield the way from the pad to the burn for the Moon, of a flight that has come to `end`."""
    yield _climb(end)
    second, inserted = end.second, end.lift_off + end.climb.duration
    if second is not None:
        yield _circle(second.chaser.parking, end.lift_off, inserted, inserted, second.begins)
        begin = second.begins
        for meeting, _ in end.met:
            if isinstance(meeting.active, EarthOrbit):
                yield met_over_earth(meeting, second.target)
                begin = meeting.docked
    else:
        begin = inserted
    if end.departing is not None:
        out = end.outbound
        yield _circle(out.parking, out.lift_off, out.insertion, begin, out.injection)


def _climb(end: State) -> WayStretch:
    """Return the climb, whose axes begin in the meridian of the pad at lift-off."""
    site = end.launch
    parking = Parking(site, 1.0, end.lift_off)  # whatever its orbit: for the meridian alone
    turn = parking.longitude(end.lift_off)
    to_equator = np.array([[cos(turn), -sin(turn), 0], [sin(turn), cos(turn), 0], [0, 0, 1.0]])
    track = end.climb.track
    t, once = np.unique(track.t, return_index=True)
    r = track.r[once] @ to_equator.T @ earth.true_equator_of_day(end.lift_off)
    return WayStretch("climb", end.lift_off + t, r)


def _circle(
    parking: Parking, lift_off: float, inserted: float, begin: float, end: float
) -> WayStretch:
    t = times(begin, max(begin, end), STEP)
    return WayStretch(
        "Earth orbit", t, np.array([parking.state(lift_off, x - inserted)[0] for x in t.tolist()])
    )


def through_air(entry: Entry | None, splash: Splash | None) -> Iterator[WayStretch]:
    """Yield the entry and what follows under parachutes, where they were flown."""
    if entry is None or splash is None:
        return
    rows = entry.flown.rows
    t = np.array([row.t for row in rows])
    t, once = np.unique(entry.t + t, return_index=True)
    r = np.array([rows[i].state[:3] for i in once.tolist()]) @ entry_axes(entry.t)
    yield WayStretch("entry", t, r)
    if splash.t > t[-1]:
        yield _let_down(float(t[-1]), float(rows[-1].altitude), splash)


def _let_down(begin: float, altitude: float, splash: Splash) -> WayStretch:
    """Return the way straight down to the splash, at an even pace: its height is all it tells."""
    t = times(begin, splash.t, FALL)
    heights = np.linspace(altitude, 0.0, len(t))
    fixed = earth.earth_fixed(splash.longitude, splash.latitude, heights)
    axes = np.array([earth.earth_fixed_axes(x) for x in t.tolist()])
    return WayStretch("parachutes", t, np.einsum("nji,nj->ni", axes, fixed))
