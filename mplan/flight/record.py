"""What a flight leaves behind: burns, moments, and the arcs between."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from mplan.flight.arrival.orbits_flown import OrbitFlown, orbits_flown
from mplan.flight.entry import Splash
from mplan.flight.living.around import around
from mplan.flight.sequence import Fault
from mplan.flight.settling import Settling
from mplan.flight.state import Craft, State
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.evolved import evolved
from mplan.vehicle.living.energy import NOTHING_SPECIAL, Around, asleep

IN_CONTACT, BEHIND = "in contact", "behind the Moon"


class CastOff(NamedTuple):
    """Elements jettisoned together while a burn lasts: `t` [s] since lift-off, `mass` [kg] kept."""

    t: float
    elements: Craft
    mass: float


@dataclass(frozen=True)
class BurnRecord:
    """One burn as flown. Velocities in [m/s], masses in [kg], times in [s] since lift-off.

    `available` is what the tanks gave this engine, `reserved` what the margin policy reserves
    in this element for this burn and those before it, `margin` what is left beyond both.
    `at_ignition` is the state once propellant has been settled and has boiled off while the craft
    waited; `at_cut_off` that at the end of the burn, without what was `cast_off` while it lasted.
    """

    name: str
    leg: str
    element: str
    engine: str
    elapsed: float  # at ignition
    duration: float
    impulse: float
    losses: Mapping[str, float]
    available: float
    reserved: float
    propellant: float
    usable: float  # kg before the burn
    start: int  # which start of the engine this is, the first being 1
    starts: int  # above one for a row of burns flown as one leg, zero if no engine is lit
    burned: float  # s, all burns of the engine up to and with this one
    thrust_to_weight: float  # in the standard gravity of Earth, at ignition
    mass: float  # at ignition
    estimate: str  # where the figure comes from, when it is not flown; else ""
    note: str
    trouble: str  # why the burn cannot be flown as asked; else ""
    burns_out: bool  # it uses all it can draw, by plan
    contact: str  # IN_CONTACT or BEHIND, as seen from Earth's centre; "" near Earth
    at_ignition: State = field(repr=False, compare=False)
    at_cut_off: State = field(repr=False, compare=False)
    cast_off: tuple[CastOff, ...] = ()
    hold_down: float = 0.0  # s that the engine runs on the pad, before release
    settling: Settling | None = None  # before ignition; None where it needs none
    boiled: float = 0.0  # kg, boiled off of its element since lift-off
    elsewhere: Mapping[str, float] = field(default_factory=dict)  # kg it could burn, not its own

    @property
    def required(self) -> float:
        """Impulse and losses together."""
        return self.impulse + sum(self.losses.values())

    @property
    def lit(self) -> bool:
        """Whether an engine is started for it; it is not where there is nothing to change."""
        return self.starts > 0

    @property
    def running(self) -> float:
        """How long the engine runs [s], on the pad before release too."""
        return self.hold_down + self.duration

    @property
    def craft(self) -> Craft:
        """What the engine pushes at ignition."""
        return self.at_ignition.joined(self.element)

    @property
    def margin(self) -> float:
        """What is left in the tanks after the burn beyond what is reserved, as a velocity."""
        return self.available - self.required - self.reserved


@dataclass(frozen=True)
class Moment:
    """One line of the timeline: what happens, when, to what, and what it weighs then."""

    event: str
    kind: str  # what the event does, as the scenario has it
    elapsed: float  # s since lift-off
    mass: float  # kg, of the craft it happens to
    craft: Craft
    estimate: bool
    note: str = ""


@dataclass(frozen=True)
class CrewStretch:
    """Crew living in an element for a time [s] from `begin` on, since lift-off.

    `craft` is what it was joined to, `radius` [m] that of the ship's lunar orbit or, of an ellipse,
    of the circle with as long a shadow; None elsewhere.
    """

    element: str
    crew: int
    duration: float
    craft: Craft = ()
    radius: float | None = None
    begin: float = 0.0
    around: Around = NOTHING_SPECIAL


class StandbyStretch(NamedTuple):
    """Elements of one craft on stand-by, the lowest first, for a time [s] from `begin` on."""

    elements: Craft
    duration: float
    radius: float | None
    begin: float
    around: Around = NOTHING_SPECIAL


@dataclass(frozen=True)
class Passage:
    """One event as flown: the state before and after it, its line in the timeline, its burn."""

    event: Event
    before: State
    after: State
    moment: Moment
    burn: BurnRecord | None = None

    @property
    def burn_event(self) -> BurnEvent:
        """The event of the burn; TypeError where the event is another."""
        if not isinstance(self.event, BurnEvent):
            raise TypeError(f"{self.moment.event} is no burn")
        return self.event


@dataclass(frozen=True)
class Ended:
    """Why a flight ends before its splash, in one sentence, and at which event.

    `index` is that of the event in the scenario's list, `event` its title.
    """

    text: str
    event: str
    index: int


@dataclass(frozen=True)
class Flight:
    """A mission flown on paper from lift-off to splash, passage by passage.

    One that `ended` before has the passages up to there, or none if nothing was flown.
    """

    scenario: Scenario
    start: State = field(repr=False, compare=False)  # on the pad
    passages: tuple[Passage, ...]
    splash: Splash | None = None
    ended: Ended | None = None
    faults: tuple[Fault, ...] = ()  # in the order of events, for which nothing was flown
    others: Mapping[str, Flight] = field(default_factory=dict)  # ships launched on their own
    left: Mapping[str, Flight] = field(default_factory=dict)  # earlier missions that left ships

    @property
    def end(self) -> State:
        """The state after the last event that was flown."""
        return self.passages[-1].after if self.passages else self.start

    @property
    def climb(self) -> LaunchClimb | None:
        """The climb from the pad, if it was flown."""
        return self.end.launched.climb if self.end.launched else None

    @property
    def climbs_of_others(self) -> dict[str, LaunchClimb]:
        """The climbs of the ships launched on their own, by name, as far as they were flown."""
        return {name: ship.climb for name, ship in self.others.items() if ship.climb}

    @property
    def dated(self) -> bool:
        """Whether the date of lift-off is known: the Moon tells it, or a ship to be met."""
        return self.end.dated

    @cached_property
    def stretches(self) -> tuple[CrewStretch, ...]:
        """Where the crew lived, event by event."""
        return tuple(x for each in self.passages for x in _lived(each.before, each.after))

    @cached_property
    def on_standby(self) -> tuple[StandbyStretch, ...]:
        """Which elements with a stand-by load nobody used, event by event."""
        return tuple(x for each in self.passages for x in _asleep(each.before, each.after))

    @cached_property
    def waits(self) -> Mapping[str, Flight]:
        """How each ship that was met had waited, by its name: from where its own events leave it.

        Its orbit upkeep is there, and it ends with the docking.
        """
        return MappingProxyType(
            {
                name: Flight(passages[0].before.scenario, passages[0].before, passages)
                for name, passages in self.end.waits.items()
            }
        )

    @cached_property
    def burns(self) -> tuple[BurnRecord, ...]:
        """The burns, in flight order."""
        return tuple(each.burn for each in self.passages if each.burn is not None)

    @cached_property
    def lunar_orbits(self) -> tuple[OrbitFlown, ...]:
        """The ship's orbit about the Moon after each burn that made it, and as it is left."""
        return orbits_flown(self.passages)

    @cached_property
    def moments(self) -> tuple[Moment, ...]:
        """One line for each event, in the order of the events."""
        return tuple(each.moment for each in self.passages)

    @cached_property
    def cast_off(self) -> Mapping[str, CastOff]:
        """What was jettisoned while a stage burned, by element."""
        gone = {x: each for burn in self.burns for each in burn.cast_off for x in each.elements}
        return MappingProxyType(gone)

    @cached_property
    def timeline(self) -> tuple[Moment, ...]:
        """The lines in order of time: what was jettisoned while a stage burned at its own time."""
        lines = [line for each in self.passages for line in _lines(each, self.cast_off)]
        return tuple(sorted(lines, key=lambda line: line.elapsed))

    @cached_property
    def every_burn(self) -> tuple[BurnRecord, ...]:
        """The burns of all ships on the clock of this one, those of others under their names."""
        return tuple(
            evolved(x, name=_of_ship(name, x.name), elapsed=x.elapsed + shift)
            for name, ship, shift in self.ships
            for x in ship.burns
        )

    @cached_property
    def every_moment(self) -> tuple[Moment, ...]:
        """The timelines of all ships in order of time, on the clock of this one."""
        lines = (
            replace(x, event=_of_ship(name, x.event), elapsed=x.elapsed + shift)
            for name, ship, shift in self.ships
            for x in ship.timeline
        )
        return tuple(sorted(lines, key=lambda line: line.elapsed))

    @property
    def ships(self) -> tuple[tuple[str, Flight, float], ...]:
        """Every ship by name, with its flight and its lift-off on the clock of this one [s].

        Those launched on their own come first, each with its wait, of one that an earlier mission
        left the wait alone; this one, "", is the last. The
        clock of a flight whose date is not known, or of a ship's, stays its own.
        """
        # A record that kept itself would stay in memory until all there is is looked through.
        return (*self._other_ships, ("", self, 0.0))

    @cached_property
    def _other_ships(self) -> tuple[tuple[str, Flight, float], ...]:
        others = (
            (
                name,
                replace(ship, passages=(*ship.passages, *self.end.waits.get(name, ()))),
                ship.end.lift_off - self.end.lift_off if self._dated_with(ship) else 0.0,
            )
            for name, ship in self.others.items()
        )
        left = (
            (name, wait, wait.end.lift_off - self.end.lift_off if self.dated else 0.0)
            for name, wait in self.waits.items()
            if name in self.left
        )
        return (*left, *others)

    def _dated_with(self, ship: Flight) -> bool:
        return self.dated and ship.dated

    @cached_property
    def lengths(self) -> Mapping[str, float]:
        """The length [m] of every element of the stack."""
        return MappingProxyType(inertia.lengths(self.scenario))

    @property
    def duration(self) -> float:
        """Time [s] from lift-off to the end of what was flown; zero if nothing was."""
        return self.end.elapsed

    def burn_of(self, leg: str) -> BurnRecord | None:
        """Return the first burn of a leg, if the flight has it."""
        return next((burn for burn in self.burns if burn.leg == leg), None)

    def utc(self, elapsed: float) -> datetime:
        """Return the UTC of a time since lift-off; NotYet where the flight is not `dated`."""
        return utc_from_tdb(self.end.lift_off + elapsed)


def _of_ship(name: str, said: str) -> str:
    """Return what happens to a ship launched on its own under the ship's name."""
    return f"{plain(name)}: {said}" if name else said


def _lines(passage: Passage, early: Mapping[str, CastOff]) -> list[Moment]:
    """Return the line of an event, or several of a jettison whose parts went at several times."""
    event, moment = passage.event, passage.moment
    gone = {x: early[x] for x in getattr(event, "elements", ()) if x in early}
    before = [x for x in dict.fromkeys(gone.values()) if x.t < moment.elapsed]
    if event.do != "jettison" or not before:
        return [moment]
    lines = [_went(passage, each) for each in before]
    late = tuple(x for x in event.elements if gone.get(x) not in before)
    if late:
        lines.append(replace(moment, event=event.model_copy(update={"elements": late}).title))
    return lines


def _went(passage: Passage, gone: CastOff) -> Moment:
    """Return the line of what went while a stage burned."""
    title = f"jettison {' and '.join(map(plain, gone.elements))}"
    craft = tuple(x for x in passage.before.joined(gone.elements[0]) if x not in gone.elements)
    return replace(
        passage.moment, event=title, elapsed=gone.t, mass=gone.mass, craft=craft, note=""
    )


def _lived(before: State, after: State) -> list[CrewStretch]:
    """Return where the crew lived between two states, and for how long."""
    passed = after.elapsed - before.elapsed
    radius = before.moon.shadow_radius if before.moon else None
    return [
        CrewStretch(
            name,
            crew,
            passed,
            before.joined(name),
            radius,
            before.elapsed,
            around(before, before.joined(name), passed),
        )
        for name, crew in before.crew.items()
        if crew and passed
    ]


def _asleep(before: State, after: State) -> list[StandbyStretch]:
    """Return which elements were on stand-by between two states, craft by craft."""
    passed = after.elapsed - before.elapsed
    radius = before.moon.shadow_radius if before.moon else None
    cabins = [name for name, crew in before.crew.items() if crew]
    groups = ((craft, asleep(craft, cabins, before.scenario)) for craft in before.craft)
    return [
        StandbyStretch(
            tuple(name for name, _ in group),
            passed,
            radius,
            before.elapsed,
            around(before, craft, passed),
        )
        for craft, group in groups
        if group and passed
    ]
