"""The one state that is carried from event to event, and what a leg requires of a burn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import numpy as np

from mplan.flight.housekeeping.drawn import ThrusterUse
from mplan.physics.arcs import lunar_orbit
from mplan.physics.arcs.homeward import Homeward
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.arcs.outbound import Outbound
from mplan.physics.arcs.parking import Site
from mplan.physics.burns.aimed_burn import VelocityTarget
from mplan.physics.circumlunar.hybrid import HybridTransfer
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.stage_burns import StageBurn
from mplan.physics.landing.ascent import AscentFlight
from mplan.physics.landing.descent import DescentFlight
from mplan.physics.rendezvous.launch_passes import LaunchPass
from mplan.physics.rendezvous.meeting import Meeting
from mplan.physics.vectors import freeze, frozen
from mplan.scenario import Scenario
from mplan.vehicle import mass
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import Key, Ledger
from mplan.vehicle.same import remembered

if TYPE_CHECKING:
    from mplan.flight.entry import Entry
    from mplan.flight.erring.flown_errors import FlownErrors
    from mplan.flight.record import Passage
    from mplan.flight.rendezvous import FineBurn, Rendezvous

Found = TypeVar("Found")
Craft = tuple[str, ...]  # elements joined together, in stack order


class NotYet(LookupError):
    """What is asked of a state does not exist at that point of the mission."""


class Arc(NamedTuple):
    """A coast: GCRS state [m], [m/s] at `begin`, and its `end`, both [TDB s]."""

    r: np.ndarray
    v: np.ndarray
    begin: float
    end: float


@dataclass(frozen=True)
class Launched:
    """The climb from the pad to the parking orbit, as flown, and how many stages have burned."""

    climb: LaunchClimb
    stages_burned: int = 0

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)


@dataclass(frozen=True)
class Departing:
    """What follows from the Moon's place once the climb is known: when, and on which arc.

    `lift_off` is in [TDB s]; `free_return` is a flyby's arrival at Earth, with no burn. Of a
    hybrid, `outbound` has the injection onto the free return and the perilune that the `transfer`
    leads to: planned, until it is made.
    """

    lift_off: float
    outbound: Outbound
    free_return: Arrival | None = None
    transfer: HybridTransfer | None = None
    transferred: bool = False  # the transfer has been made

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)


@dataclass(frozen=True)
class AtTheMoon:
    """The ship's orbit about the Moon, and the lander's own, when it is away and in orbit.

    The ship's, `stated` as a burn last left or found it, has coasted `since` [s]: flown when asked.
    """

    stated: LunarOrbit
    lander: LunarOrbit | None = None
    since: float = 0.0

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @cached_property
    def orbit(self) -> LunarOrbit:
        """The ship's orbit about the Moon; ArithmeticError where it cannot be flown."""
        return frozen(lunar_orbit.coast(self.stated, self.since)) if self.since else self.stated

    @property
    def shadow_radius(self) -> float:
        """The radius [m] of the circle with as long a shadow as the stated orbit has at most."""
        return _radius_by_shadow(self.stated)

    def later(self, duration: float) -> AtTheMoon:
        """Return both once the ship has gone on round the Moon for `duration` [s]."""
        made = evolved(self, since=self.since + duration)
        vars(made).pop("orbit", None)  # of before, where it has been flown
        return made

    def here(self) -> AtTheMoon:
        """Return both with the ship's orbit stated as it is now."""
        return AtTheMoon(self.orbit, self.lander) if self.since else self


@dataclass(frozen=True)
class State:
    """Where the mission stands. The clock is `elapsed` [s] since lift-off.

    `launched`, `departing` and `moon` exist or do not: on the pad there is none of them, in lunar
    orbit there are all three, and on the way home the Moon is left behind. What a leg reads of
    one that is missing raises NotYet. A leg as flown stays in the state to the end of the
    mission; None where the mission has none, or not yet.
    """

    scenario: Scenario
    ledger: Ledger
    craft: tuple[Craft, ...]
    crew: Mapping[str, int]
    cargo: Mapping[str, float]
    elapsed: float = 0.0
    boiled_to: float = 0.0  # s since lift-off, up to which boiling off has been drawn
    thrusters: ThrusterUse | None = None  # beside burns; None where it is not counted
    steered_as: LaunchClimb | None = None  # the climb to steer as, instead of the best one
    erring: FlownErrors | None = None  # what a flight meets that its plan does not know
    launched: Launched | None = None
    departing: Departing | None = None
    moon: AtTheMoon | None = None
    descent: DescentFlight | None = None  # powered
    lunar_ascent: AscentFlight | None = None
    rendezvous: Rendezvous | None = None
    homeward: Homeward | None = None
    entry: Entry | None = None  # through the air
    landed: str = ""  # the element that has brought a craft down on the Moon, while it stands there
    corrected: tuple[float, ...] = ()  # s after the start of this arc, of its corrections
    reserved: Mapping[Key, float] = field(default_factory=dict)  # m/s of margins, by engine
    second: LaunchPass | None = None  # the launch, where a ship to be met in orbit decides it
    met: tuple[tuple[Meeting, tuple[FineBurn, ...]], ...] = ()  # rendezvous with ships that waited
    alongside: str = ""  # the waiting ship that a rendezvous has led to, until it is docked to
    waiting: Mapping[str, State] = field(default_factory=dict)  # ships to be met, as left, by name
    waits: Mapping[str, tuple[Passage, ...]] = field(default_factory=dict)  # of ships met or kept

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def climbing(self) -> bool:
        """Whether a stage of the climb has still to burn."""
        launched = self.launched
        return launched is None or launched.stages_burned != len(launched.climb.parts)

    @property
    def climb(self) -> LaunchClimb:
        """The climb from the pad to the parking orbit, as flown."""
        return existing(self.launched, "a climb").climb

    @property
    def stages_burned(self) -> int:
        """How many stages of the climb have burned."""
        return existing(self.launched, "a climb").stages_burned

    @property
    def dated(self) -> bool:
        """Whether the date of lift-off is known."""
        return self.second is not None or self.departing is not None

    @property
    def lift_off(self) -> float:
        """The date of lift-off [TDB s], known once the climb is over."""
        if self.second is not None:
            return self.second.chaser.lift_off
        return existing(self.departing, "a date of lift-off").lift_off

    @property
    def outbound(self) -> Outbound:
        """The arc to the Moon."""
        return existing(self.departing, "a way to the Moon").outbound

    @property
    def launch(self) -> Site:
        """Where from and into which plane this ship was launched."""
        return self.second.chaser.parking.site if self.second else self.outbound.parking.site

    @property
    def translunar_arcs(self) -> tuple[Arc, ...]:
        """The arcs to perilune, each from after its burn to the next: of a hybrid there are two."""
        out = self.outbound
        change = self.departing.transfer if self.departing else None
        if change is None:
            return (Arc(out.r, out.v, out.injection, out.perilune.t),)
        return (
            Arc(out.r, out.v, out.injection, change.t),
            Arc(change.r, change.v, change.t, out.perilune.t),
        )

    @property
    def free_return(self) -> Arrival | None:
        """A flyby's arrival at Earth; None where a burn leads home."""
        return self.departing.free_return if self.departing else None

    @property
    def orbit(self) -> LunarOrbit:
        """The ship's orbit about the Moon."""
        return existing(self.moon, "an orbit about the Moon").orbit

    @property
    def lander(self) -> LunarOrbit | None:
        """The lander's own orbit, before its descent and after its ascent; else None."""
        return self.moon.lander if self.moon else None

    @property
    def t(self) -> float:
        """The time now [TDB s past J2000]."""
        return self.lift_off + self.elapsed

    def joined(self, element: str) -> Craft:
        """Return the craft that `element` is part of; () once it has been dropped."""
        for craft in self.craft:
            if element in craft:
                return craft
        return ()

    def mass(self, craft: Craft) -> float:
        """Return what a craft weighs now [kg]."""
        return mass.of(craft, self.scenario, self.ledger, self.crew, self.cargo)

    def carried(self, craft: Craft) -> dict[str, float]:
        """Return the crew and cargo in each element of a craft [kg]."""
        one = self.scenario.mission.crew_mass
        return {x: self.crew.get(x, 0) * one + self.cargo.get(x, 0.0) for x in craft}

    def without(self, elements: Iterable[str]) -> State:
        """Return the state without elements that have been jettisoned."""
        gone = frozenset(elements)
        if not gone:
            return self
        kept = (tuple(x for x in craft if x not in gone) for craft in self.craft)
        return evolved(self, craft=tuple(craft for craft in kept if craft))

    def later(self, duration: float) -> State:
        """Return the state `duration` [s] later, the ship having gone on round the Moon."""
        moon = self.moon and self.moon.later(duration)
        return evolved(self, elapsed=self.elapsed + float(duration), moon=moon)

    def on_orbit(self, orbit: LunarOrbit) -> State:
        """Return the state with the ship on another `orbit` about the Moon."""
        return evolved(self, moon=AtTheMoon(orbit, self.lander))

    def with_lander(self, lander: LunarOrbit | None) -> State:
        """Return the state with the lander on an orbit of its own, or on none."""
        moon = existing(self.moon, "an orbit about the Moon")
        return evolved(self, moon=AtTheMoon(moon.stated, lander, moon.since))

    def here(self) -> State:
        """Return the state with the ship's orbit as it is now, from which others go on."""
        return self if self.moon is None else evolved(self, moon=self.moon.here())

    def until(self, t: float) -> State:
        """Return the state at `t` [TDB s]."""
        return self.later(t - self.t)


_radius_by_shadow = remembered(64)(lunar_orbit.radius_by_shadow)


def existing(found: Found | None, what: str) -> Found:
    """Return what exists, or raise NotYet."""
    if found is None:
        raise NotYet(f"there is not yet {what}")
    return found


@dataclass(frozen=True)
class Apse:
    """Where a burn along the velocity is flown out to find its loss.

    The slow side of the burn moves level at `speed` [m/s] at `radius` [m] about a body of `mu`;
    `arriving` burns end there, others begin there. `turned` [m/s] is what a turn of the plane adds.
    """

    radius: float
    speed: float
    mu: float
    arriving: bool = False
    turned: float = 0.0


@dataclass(frozen=True)
class Aimed:
    """Where a burn out of the plane is flown out: before it at `r` [m] and `v` [m/s], about `mu`.

    `wanted` tells the velocity to have at a place near.
    """

    r: np.ndarray
    v: np.ndarray
    wanted: VelocityTarget
    mu: float

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)


@dataclass(frozen=True)
class Need:
    """What a leg requires of a burn.

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
    part: StageBurn | None = None  # of the climb, which tells what is drawn and what is left
    beside: tuple[str, ...] = ()  # elements that burn out beside it
    starts: int = 1  # of the engine: above one for a row of burns flown as one leg, zero for none

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)
