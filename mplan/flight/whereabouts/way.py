"""A way from lift-off to the end of what was flown, put together from its stretches."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.flight.record import Flight
from mplan.flight.state import Craft
from mplan.flight.steps import interface_of
from mplan.flight.whereabouts import at_the_moon
from mplan.flight.whereabouts.near_earth import through_air, until_departure
from mplan.flight.whereabouts.stretch import WayStretch
from mplan.physics.arcs import nbody
from mplan.physics.bodies.lunar_gravity import Degree

TO_OWN_ORBIT = ("descent-orbit insertion", "lunar ascent")
POINTS = 400  # of an arc between Earth and Moon, close together near its ends: 10 s there


class Way(NamedTuple):
    """Where an element is: stretches in order of time, as long as it is part of the flight."""

    element: str
    stretches: tuple[WayStretch, ...]

    @property
    def begin(self) -> float:
        """When it begins [TDB s]."""
        return float(self.stretches[0].t[0])

    @property
    def end(self) -> float:
        """When it ends [TDB s]."""
        return float(self.stretches[-1].t[-1])


def of(flight: Flight, element: str) -> Way:
    """Return the way of an element of a flight, from lift-off until it is dropped or comes down.

    A burn counts as made in its middle. An element that is dropped ends there, whatever becomes of
    it. Where the date of lift-off is not known there is no way: its stretches are none.
    """
    if not flight.dated:
        return Way(element, ())
    begin, end = (flight.end.lift_off + x for x in _part_of(flight, element))
    cut = (each.within(begin, end) for each in _stretches(flight, element))
    return Way(element, tuple(each for each in cut if each is not None))


def _part_of(flight: Flight, element: str) -> tuple[float, float]:
    """Return from when until when [s since lift-off] an element is part of a flight.

    One that waits to be met becomes part of it then.
    """
    begin = 0.0 if flight.start.joined(element) else flight.duration
    for each in flight.passages:
        here = each.before.joined(element), each.after.joined(element)
        if here == ((), ()):
            continue
        if not here[1]:
            return begin, each.moment.elapsed
        begin = min(begin, each.after.elapsed)
    return begin, flight.duration


def _stretches(flight: Flight, element: str) -> Iterator[WayStretch]:
    end = flight.end
    yield from until_departure(end)
    if end.departing is None:
        return
    for arc in end.translunar_arcs:
        yield _arc("to the Moon", arc.r, arc.v, arc.begin, arc.end)
    yield from _at_the_moon(flight, element)
    interface = interface_of(end)
    if end.homeward is not None and interface is not None:
        home = end.homeward
        yield _arc("home", home.r, home.v, home.t, interface.t, home.leaving.degree)
    elif interface is not None:
        near = end.outbound.perilune
        yield _arc("home", near.r, near.v, near.t, interface.t)
    yield from through_air(end.entry, flight.splash)


def _at_the_moon(flight: Flight, element: str) -> Iterator[WayStretch]:
    """Yield the stretches from perilune to the burn for home, event by event."""
    lander: Craft = ()
    begin = flight.end.outbound.perilune.t
    leaves = flight.end.homeward.t if flight.end.homeward else np.inf
    for each in flight.passages:
        if (each.before.moon or each.after.moon) is None or begin >= leaves:
            continue
        for stretch in at_the_moon.of_passage(each, element, lander, begin):
            kept = stretch.within(begin, leaves)
            if kept is not None:
                yield kept
                begin = float(kept.t[-1])
        if each.burn is not None and each.burn.leg in TO_OWN_ORBIT:
            lander = each.before.joined(each.burn.element)


def _arc(
    name: str, r: np.ndarray, v: np.ndarray, begin: float, end: float, degree: Degree = 2
) -> WayStretch:
    spread = (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS))) / 2.0
    after = (end - begin) * spread
    return WayStretch(name, begin + after, nbody.path(r, v, begin, after, degree=degree)[:, :3])
