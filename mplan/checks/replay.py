"""A flight gone through again event by event: what the tanks hold then and where the crew sits."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import takewhile

from mplan.flight.record import BurnRecord, Flight, Moment
from mplan.flight.state import Craft
from mplan.scenario import Event, Scenario
from mplan.vehicle import boil_off, inertia, ledger, mass, stack
from mplan.vehicle.inertia import LANDER
from mplan.vehicle.ledger import Ledger, main_engine

AT_ONCE = 1.0  # s: what is dropped this shortly before a burn ends is dropped after it


@dataclass(frozen=True)
class Replay:
    """What is known of the mission at one event: what the tanks hold and where the crew sits."""

    scenario: Scenario
    lengths: Mapping[str, float]
    tanks: Ledger
    crew: Mapping[str, int]
    flying: frozenset[str] = frozenset()
    boiled_to: float = 0.0  # s since lift-off, up to which boiling off has been drawn

    def boiled(self, elapsed: float) -> Replay:
        """Return what is known at a time [s] after the climb: less in the tanks that boil."""
        lost = boil_off.losses(self.scenario, self.flying, elapsed - self.boiled_to)
        return replace(self, tanks=self.tanks.after_boil_off(lost), boiled_to=elapsed)

    def settled(self, burn: BurnRecord) -> Replay:
        """Return what is known once the propellant for a burn has been settled."""
        by = burn.settling
        if by is None or not by.element:
            return self
        engine = self.scenario.elements[by.element].engines[by.engine]
        seconds = by.starts * by.duration
        tanks = self.tanks.after_burn(by.element, by.engine, engine, by.propellant, seconds)
        return replace(self, tanks=tanks)

    def without(self, elements: Iterable[str]) -> Replay:
        """Return what is known after elements have been cast off."""
        return replace(self, flying=self.flying - set(elements))

    def burned(self, burn: BurnRecord, event: Event | None) -> Replay:
        """Return what is known after a burn, and after what burned out beside it."""
        engine = self.scenario.elements[burn.element].engines[burn.engine]
        used = (burn.propellant, burn.duration)
        tanks = self.tanks.after_burn(burn.element, burn.engine, engine, *used)
        for other in event.beside if event is not None else ():
            key, motor = main_engine(self.scenario.elements[other])
            tanks = tanks.after_burn(other, key, motor, tanks.usable(other, motor), 0.0)
        return replace(self, tanks=tanks)

    def moved(self, event: Event) -> Replay:
        """Return what is known after crew have moved."""
        change = {event.origin: -event.crew, event.target: event.crew}
        return replace(
            self, crew={k: self.crew.get(k, 0) + change.get(k, 0) for k in {**self.crew, **change}}
        )


def begin(scenario: Scenario) -> Replay:
    """Return what is known on the pad."""
    tanks, crew = ledger.filled(scenario), stack.crew_on_pad(scenario)
    return Replay(scenario, inertia.lengths(scenario), tanks, crew, frozenset(scenario.stack))


def climb_over(flight: Flight) -> float:
    """Return when the climb ends [s since lift-off]; boiling off is drawn from then on."""
    return max((x.elapsed + x.duration for x in flight.burns if x.leg == "climb"), default=0.0)


def paired(flight: Flight) -> Iterator[tuple[Moment, Event | None]]:
    """Yield each moment with the event it tells of, None where it tells of none."""
    events, at = flight.scenario.events, 0
    for moment in flight.moments:
        ahead = next((k for k in range(at, len(events)) if events[k].title == moment.event), None)
        yield moment, None if ahead is None else events[ahead]
        at = at if ahead is None else ahead + 1


def cast_off(flight: Flight, index: int, over: float) -> tuple[str, ...]:
    """Return what is dropped while burn `index` lasts, well before it is `over` [s].

    Boosters when they are empty, and what the jettisons that follow at once name: a burn that
    cannot be flown as asked may reach beyond the next events.
    """
    pairs = list(paired(flight))
    later = takewhile(lambda pair: pair[0].kind == "jettison", pairs[index + 1 :])
    named = [
        name
        for moment, event in later
        if event is not None and moment.elapsed < over - AT_ONCE
        for name in event.elements
    ]
    return tuple(dict.fromkeys([*_emptied(flight, pairs[index][1], over), *named]))


def _emptied(flight: Flight, event: Event | None, over: float) -> list[str]:
    """Return what burned beside a stage of the climb and was dropped before it was over."""
    if event is None or flight.end.climb is None:
        return []
    marks = [x.name for x in flight.end.climb.track.events if x.what == "cast off" and x.t < over]
    return [name for name in event.beside if name in marks]


def extra(craft: Craft, weighs: float | None, now: Replay) -> tuple[dict[str, float], float]:
    """Return crew and cargo [kg] by element, and what the craft weighs with them.

    What it weighs beyond its parts and crew is cargo, in the lander if there is one.
    """
    found = {name: now.crew.get(name, 0) * now.scenario.mission.crew_mass for name in craft}
    known = mass.of(craft, now.scenario, now.tanks, now.crew, {})
    if weighs is None:
        return found, known
    landers = [name for name in craft if now.scenario.elements[name].role in LANDER]
    found[(landers or craft)[0]] += weighs - known
    return found, weighs
