"""The one state that is carried from event to event, and what a leg says of a burn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from mplan.physics.arcs import lunar_orbit
from mplan.physics.arcs.homeward import Homeward
from mplan.physics.arcs.lunar_orbit import Orbit
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.arcs.outbound import Outbound
from mplan.physics.burns.aimed import Wanted
from mplan.physics.climb.flight import Climb as Launched
from mplan.physics.climb.parts import Part
from mplan.physics.landing.ascent import Climb
from mplan.physics.landing.descent import Descent
from mplan.scenario import Scenario
from mplan.vehicle import mass
from mplan.vehicle.ledger import Key, Ledger

if TYPE_CHECKING:
    from mplan.flight.entry import Entry
    from mplan.flight.rendezvous import Rendezvous

Craft = tuple[str, ...]  # elements joined together, in stack order


@dataclass(frozen=True)
class State:
    """Where the mission stands. The clock is `elapsed` [s] since lift-off.

    The date of lift-off follows from the Moon and is known once the climb is done, so `t` asks
    for `lift_off` [TDB s] to be there.
    """

    scenario: Scenario
    ledger: Ledger
    craft: tuple[Craft, ...]
    crew: Mapping[str, int]
    cargo: Mapping[str, float]
    elapsed: float = 0.0
    boiled_to: float = 0.0  # s since lift-off, up to which boiling off has been drawn
    lift_off: float | None = None
    climb: Launched | None = None  # from the pad to the parking orbit, as flown
    climbed: int = 0  # stages of the climb that have burned
    climb_like: Launched | None = None  # the climb to steer as, instead of the best one
    outbound: Outbound | None = None
    around: Arrival | None = None  # a flyby's return, with no burn
    orbit: Orbit | None = None  # of the ship about the Moon
    lander: Orbit | None = None  # of the lander, before its descent and after its ascent
    descent: Descent | None = None  # powered, as flown
    lunar_ascent: Climb | None = None  # as flown
    rendezvous: Rendezvous | None = None  # as flown
    homeward: Homeward | None = None
    entry: Entry | None = None  # through the air, once flown
    corrected: tuple[float, ...] = ()  # s after the start of this arc, of its corrections
    reserved: Mapping[Key, float] = field(default_factory=dict)  # m/s of margins, by engine

    @property
    def climbing(self) -> bool:
        """Whether a stage of the climb has still to burn."""
        return self.climb is None or self.climbed < len(self.climb.parts)

    @property
    def t(self) -> float:
        """The time now [TDB s past J2000]."""
        return self.lift_off + self.elapsed

    def joined(self, element: str) -> Craft:
        """Return the craft that `element` is part of; () once it has been dropped."""
        return next((craft for craft in self.craft if element in craft), ())

    def mass(self, craft: Craft) -> float:
        """Return what a craft weighs now [kg]."""
        return mass.of(craft, self.scenario, self.ledger, self.crew, self.cargo)

    def carried(self, craft: Craft) -> dict[str, float]:
        """Return the crew and cargo in each element of a craft [kg]."""
        one = self.scenario.mission.crew_mass
        return {x: self.crew.get(x, 0) * one + self.cargo.get(x, 0.0) for x in craft}

    def without(self, elements: Iterable[str]) -> State:
        """Return the state without elements that have been cast off."""
        gone = frozenset(elements)
        kept = (tuple(x for x in craft if x not in gone) for craft in self.craft)
        return replace(self, craft=tuple(craft for craft in kept if craft))

    def later(self, duration: float) -> State:
        """Return the state `duration` [s] later, the ship having gone on round the Moon."""
        orbit = self.orbit and lunar_orbit.coast(self.orbit, duration)
        return replace(self, elapsed=self.elapsed + float(duration), orbit=orbit)

    def until(self, t: float) -> State:
        """Return the state at `t` [TDB s]."""
        return self.later(t - self.t)


@dataclass(frozen=True)
class Apse:
    """Where a burn along the velocity is flown out to find its loss.

    The slow side of the burn moves level at `speed` [m/s] at `radius` [m] about a body of `mu`;
    `arriving` burns end there, others begin there.
    """

    radius: float
    speed: float
    mu: float
    arriving: bool = False


@dataclass(frozen=True)
class Aimed:
    """Where a burn out of the plane is flown out: before it at `r` [m] and `v` [m/s], about `mu`.

    `wanted` tells the velocity to have at a place near.
    """

    r: np.ndarray
    v: np.ndarray
    wanted: Wanted
    mu: float


@dataclass(frozen=True)
class Need:
    """What a leg asks of a burn.

    `impulse` [m/s] and the `losses` [m/s] on top of it, by cause; `at` is the state at the
    impulse, `then` the state after it. A burn with an `apse` is flown out, half before the
    impulse and half after it; any other begins at `at`, and its losses are as stated.
    """

    impulse: float
    at: State
    then: State
    losses: Mapping[str, float] = field(default_factory=dict)
    apse: Apse | Aimed | None = None
    estimate: str = ""  # where the figure comes from, if it is not flown
    note: str = ""
    place: np.ndarray | None = None  # m, from the Moon's centre, of a burn near it
    trouble: str = ""  # why the burn cannot be flown as asked
    duration: float | None = None  # s, of a burn that throttles; else its propellant decides
    part: Part | None = None  # of the climb, which tells what is drawn and what is left
    beside: tuple[str, ...] = ()  # elements that burn out beside it
