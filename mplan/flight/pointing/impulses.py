"""Burns that were found as impulses: where each is, and the velocity before and after it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

import numpy as np

from mplan.flight.record import BurnRecord, Passage
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast


class PlannedImpulse(NamedTuple):
    """An impulse about a body: place `r` [m], velocities [m/s] `before` and `after` it, ICRF axes.

    The engine is lit `lead` [s] before and shut down `tail` [s] after it; `elapsed` is its time
    [s since lift-off], `name` of one of a row.
    """

    body: str
    elapsed: float
    r: np.ndarray
    before: np.ndarray
    after: np.ndarray
    lead: float = 0.0
    tail: float = 0.0
    name: str = ""


def of(passage: Passage) -> Iterator[PlannedImpulse]:
    """Yield the impulses of a burn; none of a leg whose direction is not planned."""
    burn = passage.burn
    found = _BY_LEG.get(burn.leg) if burn is not None else None
    if burn is not None and found is not None:
        yield from found(passage, burn)


def _injection(passage: Passage, burn: BurnRecord) -> Iterator[PlannedImpulse]:
    out = passage.after.outbound
    orbit, half = out.parking, burn.duration / 2.0
    _, before = orbit.state(out.lift_off, out.injection - out.insertion)
    elapsed = out.injection - passage.after.lift_off
    yield PlannedImpulse("Earth", elapsed, out.r, before, out.v, half, half)


def _transfer(passage: Passage, burn: BurnRecord) -> Iterator[PlannedImpulse]:
    change = passage.after.departing.transfer if passage.after.departing else None
    if change is not None:
        elapsed = change.t - passage.after.lift_off
        yield PlannedImpulse("Earth", elapsed, change.r, change.v - change.burn, change.v)


def _insertion(passage: Passage, burn: BurnRecord) -> Iterator[PlannedImpulse]:
    """Yield the capture: from the arc's perilune into the orbit, coasted back to the same time."""
    there = passage.after.outbound.perilune
    back = _at(passage.after.orbit, there.t)
    elapsed = there.t - passage.after.lift_off
    lead, tail = elapsed - burn.elapsed, burn.elapsed + burn.duration - elapsed
    r, v = there.lunar_r, there.lunar_v
    yield PlannedImpulse("Moon", elapsed, r, v, back.v, max(0.0, lead), max(0.0, tail))


def _between_orbits(passage: Passage, burn: BurnRecord) -> Iterator[PlannedImpulse]:
    """Yield a change of orbit, in the middle of the burn or, where it begins with it, there."""
    start, end = burn.at_ignition, passage.after
    alone = end.lander is not None and burn.leg == "descent-orbit insertion"
    old, new = start.lander or start.orbit, end.lander if alone else end.orbit
    if new is None:
        return
    met = [
        (float(np.linalg.norm(x.r - y.r)), lead, x, y)
        for lead in (burn.duration / 2.0, 0.0)
        for t in [end.lift_off + burn.elapsed + lead]
        for x, y in [(_at(old, t), _at(new, t))]
    ]
    _, lead, before, after = min(met, key=lambda each: each[0])
    tail = burn.duration - lead if lead else 0.0
    yield PlannedImpulse("Moon", burn.elapsed + lead, before.r, before.v, after.v, lead, tail)


def _return(passage: Passage, burn: BurnRecord) -> Iterator[PlannedImpulse]:
    home = passage.after.homeward
    if home is not None:
        here, half = home.leaving, burn.duration / 2.0
        elapsed = home.t - passage.after.lift_off
        yield PlannedImpulse("Moon", elapsed, here.r, here.v, here.v + home.burn, half, half)


def _rendezvous(passage: Passage, burn: BurnRecord) -> Iterator[PlannedImpulse]:
    """Yield the burns of a rendezvous one by one, as impulses."""
    after = passage.after
    if burn.leg == "rendezvous":
        meeting = after.rendezvous.meeting if after.rendezvous else None
    else:
        meeting = after.met[-1][0] if after.met else None
    body = "Earth" if burn.leg == "Earth-orbit rendezvous" else "Moon"
    for each in meeting.steps if meeting is not None else ():
        if each.size == 0.0:
            continue
        v = each.before.v
        elapsed = each.t - after.lift_off
        yield PlannedImpulse(body, elapsed, each.before.r, v, v + each.dv, name=each.name)


def _at(orbit: LunarOrbit, t: float) -> LunarOrbit:
    """Return an orbit at a time [TDB s], before or after its own."""
    return orbit if t == orbit.t else coast(orbit, t - orbit.t)


_BY_LEG: Mapping[str, Callable[[Passage, BurnRecord], Iterator[PlannedImpulse]]] = {
    "translunar injection": _injection,
    "hybrid transfer": _transfer,
    "lunar-orbit insertion": _insertion,
    "lunar-orbit plane change": _between_orbits,
    "lunar-orbit apolune change": _between_orbits,
    "lunar-orbit circularisation": _between_orbits,
    "orbit upkeep": _between_orbits,
    "descent-orbit insertion": _between_orbits,
    "trans-Earth injection": _return,
    "rendezvous": _rendezvous,
    "Earth-orbit rendezvous": _rendezvous,
    "lunar-orbit rendezvous": _rendezvous,
}
