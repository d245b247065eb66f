"""A rendezvous, flown burn by burn from insertion to docking.

Both craft move as in two bodies, with impulses: a thruster burn of a minute in a two-hour orbit
costs under a thousandth more. What instruments and thrusters miss by is not flown here.
Crew safety rests on this leg; the figures are a planning study's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import ceil, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.arcs.orbit import Orbit, apsides
from mplan.physics.rendezvous.braking import brake
from mplan.physics.rendezvous.impulses import (
    coelliptic,
    intercept,
    into_plane,
    towards_height,
    when_seen,
)
from mplan.physics.rendezvous.relative import (
    angle_between,
    distance_between,
    elevation,
    half_turn,
    offset,
    orbit_at,
    phase_angle,
    pushed,
)
from mplan.physics.rendezvous.terms import Terms
from mplan.physics.vectors import freeze, frozen, length

PLANE, RAISING, LEVELLING = "plane change", "raising burn", "coelliptic burn"
TERMINAL, BRAKING = "terminal phase initiation", "braking"
SETTLING = 600.0  # s after the start that no plane is turned: common practice, no source
LEAST = 0.05  # m/s: a plane change below this is left to the terminal phase
LONGEST = 3  # revolutions of the target that the terminal phase is waited for
EVERY = 120.0  # s between places of the track, and no fewer than `FEWEST` from burn to burn
FEWEST = 6


class RendezvousBurn(NamedTuple):
    """A burn of a rendezvous: the active craft before it, the impulse [m/s] and what is seen."""

    name: str
    before: Orbit
    dv: np.ndarray
    range: float  # m, to the target
    elevation: float  # rad, of the target over the active craft's horizon

    @property
    def t(self) -> float:
        """When [TDB s]."""
        return self.before.t

    @property
    def size(self) -> float:
        """Impulse [m/s]."""
        return length(self.dv)

    @property
    def after(self) -> Orbit:
        """The active craft right after."""
        return pushed(self.before, self.dv)


class RelativeTrack(NamedTuple):
    """Where the active craft is, seen from the target: arrays over `t` [s] since the start.

    `along` [m] ahead of the target on its own circle, `height` [m] above it, `across` [m] its
    plane, `range` [m].
    """

    t: np.ndarray
    along: np.ndarray
    height: np.ndarray
    across: np.ndarray
    range: np.ndarray


@dataclass(frozen=True)
class Meeting:
    """A rendezvous as flown: two craft at the start, the burns of the active one, and contact."""

    active: Orbit
    target: Orbit
    terms: Terms
    steps: tuple[RendezvousBurn, ...]
    closing: float  # m/s, at which it would meet the target without braking

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def docked(self) -> float:
        """When the craft touch [TDB s]."""
        return self.steps[-1].t + self.terms.docking

    @property
    def duration(self) -> float:
        """From the start to contact [s]."""
        return self.docked - self.active.t

    @property
    def total(self) -> float:
        """All burns together [m/s]."""
        return sum(step.size for step in self.steps)

    @property
    def plane(self) -> float:
        """What the turn into the target's plane took [m/s]."""
        return self.sum_of(PLANE)

    @property
    def braking_loss(self) -> float:
        """What braking at gates took beyond stopping at once [m/s]."""
        return self.sum_of(BRAKING) - self.closing

    @property
    def impulse(self) -> float:
        """Burns [m/s] without the turn of the plane and the loss in braking."""
        return self.total - self.plane - self.braking_loss

    @property
    def phase(self) -> float:
        """By which angle [rad] the target was ahead at the start."""
        return phase_angle(self.active, self.target)

    @property
    def terminal(self) -> RendezvousBurn:
        """The burn that begins the terminal phase."""
        return next(step for step in self.steps if step.name == TERMINAL)

    @property
    def lowest(self) -> float:
        """The least perilune radius [m] of the orbits flown."""
        arcs = [self.active, *(x.after for x in self.steps if not x.name.startswith(BRAKING))]
        return min(apsides(arc)[0] for arc in arcs)

    @cached_property
    def track(self) -> RelativeTrack:
        """The relative track from the start to the last burn; each burn has two places in it."""
        begins = [self.active, *(step.after for step in self.steps)]
        ends = [*(step.t for step in self.steps), self.steps[-1].t]
        rows = []
        for begin, end in zip(begins, ends, strict=True):
            places = max(FEWEST, ceil((end - begin.t) / EVERY) + 1)
            for t in np.linspace(begin.t, end, places).tolist():
                here, there = orbit_at(begin, t), orbit_at(self.target, t)
                rows.append(
                    (t - self.active.t, *offset(here, there), distance_between(here, there))
                )
        return frozen(RelativeTrack(*np.array(rows).T))

    def sum_of(self, name: str) -> float:
        """Return the burns [m/s] whose name begins so."""
        return sum(step.size for step in self.steps if step.name.startswith(name))


def meet(active: Orbit, target: Orbit, terms: Terms) -> Meeting:
    """Return the rendezvous of `active` with `target`, both at the same time.

    NoMeeting where the target is not where this schedule needs it.
    """
    steps: list[RendezvousBurn] = []
    for name, due, burn in _SCHEDULES[terms.schedule]:
        craft = steps[-1].after if steps else active
        t = due(active, craft, target, terms)
        steps += _plane(craft, target, max(craft.t, active.t + SETTLING), t)
        here = orbit_at(steps[-1].after if steps else active, t)
        steps.append(_step(name, here, burn(here, target, terms), target))
    arrival = steps[-1].t + transfer_time(target, terms)
    arriving = orbit_at(steps[-1].after, arrival).v - orbit_at(target, arrival).v
    for last in brake(steps[-1].after, target, arrival, terms.gates, terms.station):
        steps.append(_step(f"{BRAKING} at {last.range:.0f} m", last.here, last.dv, target))
    return Meeting(active, target, terms, tuple(steps), length(arriving))


def transfer_time(target: Orbit, terms: Terms) -> float:
    """Return how long [s] the terminal phase lasts."""
    return terms.transfer / sqrt(target.mu / target.a**3)


def _step(name: str, before: Orbit, dv: np.ndarray, target: Orbit) -> RendezvousBurn:
    there = orbit_at(target, before.t)
    return RendezvousBurn(
        name, before, dv, distance_between(before, there), elevation(before, there)
    )


def _plane(
    active: Orbit, target: Orbit, earliest: float, latest: float
) -> Iterator[RendezvousBurn]:
    """Turn into the target's plane where the planes cross, if that is between two times.

    What comes later is left to the next arc, and in the end to the terminal phase, which leads
    to where the target is anyway.
    """
    if angle_between(active, target) * length(active.v) < LEAST:
        return
    node, dv = into_plane(orbit_at(active, earliest), target)
    if node.t < latest:
        yield _step(PLANE, node, dv, target)


def _at_apolune(active: Orbit, craft: Orbit, target: Orbit, terms: Terms) -> float:
    return active.t + (terms.revolutions - 0.5) * active.period


def _half_a_turn_on(active: Orbit, craft: Orbit, target: Orbit, terms: Terms) -> float:
    return craft.t + half_turn(craft)


def _in_sight(active: Orbit, craft: Orbit, target: Orbit, terms: Terms) -> float:
    return when_seen(craft, target, terms.elevation, LONGEST * target.period)


def _as_planned(active: Orbit, craft: Orbit, target: Orbit, terms: Terms) -> float:
    return active.t + terms.wait


def _raise(craft: Orbit, target: Orbit, terms: Terms) -> np.ndarray:
    return towards_height(craft, target, terms.height)


def _level(craft: Orbit, target: Orbit, terms: Terms) -> np.ndarray:
    return coelliptic(craft, target)


def _set_out(craft: Orbit, target: Orbit, terms: Terms) -> np.ndarray:
    return intercept(craft, orbit_at(target, craft.t + transfer_time(target, terms)))


_SCHEDULES = {  # each burn's name, when it is due, and what it is
    "direct": ((TERMINAL, _as_planned, _set_out),),
    "coelliptic": (
        (RAISING, _at_apolune, _raise),
        (LEVELLING, _half_a_turn_on, _level),
        (TERMINAL, _in_sight, _set_out),
    ),
}
