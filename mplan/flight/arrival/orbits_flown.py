"""What the orbit about the Moon was: after each burn that made it, and when the ship leaves it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from mplan.flight.state import State
from mplan.physics.arcs.lunar_orbit import LunarApsides, lunar_apsides
from mplan.scenario.profiles import APOLUNE_CHANGE, CIRCULARISATION, PLANE_CHANGE

if TYPE_CHECKING:
    from mplan.flight.record import Passage

SHAPING = ("lunar-orbit insertion", APOLUNE_CHANGE, PLANE_CHANGE, CIRCULARISATION)
DEPARTURE, END = "departure", "end of the flight"


class OrbitFlown(NamedTuple):
    """The ship's orbit at an event [s since lift-off], as the ellipse it would follow from there.

    `shaped` tells it right after a burn that made it; else it is what became of that.
    """

    event: str
    elapsed: float
    apsides: LunarApsides
    shaped: bool


def orbits_flown(passages: Sequence[Passage]) -> tuple[OrbitFlown, ...]:
    """Return the orbits of the ship about the Moon in order of time, () where it comes into none.

    The last is the one that the return burn leaves from or, on a mission that stays, the one that
    the flight ends in.
    """
    found = [
        OrbitFlown(x.moment.event, x.after.elapsed, lunar_apsides(x.after.orbit), shaped=True)
        for x in passages
        if shapes(x)
    ]
    return (*found, *_left(passages[-1].after)) if found else ()


def shapes(passage: Passage) -> bool:
    """Tell whether an event is a burn that made the ship's orbit about the Moon."""
    burn, after = passage.burn, passage.after
    return burn is not None and burn.leg in SHAPING and burn.lit and after.moon is not None


def _left(end: State) -> tuple[OrbitFlown, ...]:
    """Return what became of the orbit; () where the ship itself has landed."""
    if end.homeward is not None:
        leaving = end.homeward.leaving
        at = leaving.t - end.lift_off
        return (OrbitFlown(DEPARTURE, at, lunar_apsides(leaving), shaped=False),)
    if end.moon is None or end.landed:
        return ()
    return (OrbitFlown(END, end.elapsed, lunar_apsides(end.orbit), shaped=False),)
