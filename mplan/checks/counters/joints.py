"""What is joined, who moves and what is let go: dockings, crew transfers, jettisons."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from mplan.checks.counters.owner import owner
from mplan.flight.record import Flight, Passage
from mplan.scenario import DockEvent, JettisonEvent, TransferCrewEvent


class Cycle(NamedTuple):
    """A docking of an element's port: which one it is, of how many that it is qualified for."""

    element: str
    ship: str
    number: int
    qualified: int | None  # None where it is not stated

    @property
    def beyond(self) -> bool:
        """Whether it is more than the port is qualified for."""
        return self.qualified is not None and self.number > self.qualified


class Docking(NamedTuple):
    """A docking, `elapsed` [s] on the crew's clock: the port that moves up, and the other.

    `flown_by` is the ship in whose events it is.
    """

    what: str
    flown_by: str
    elapsed: float
    active: Cycle
    target: Cycle


class CrewTransfer(NamedTuple):
    """People going over, `elapsed` [s] on the crew's clock."""

    what: str
    elapsed: float
    crew: int
    origin: str
    target: str


class Jettison(NamedTuple):
    """An element let go, `elapsed` [s] on the crew's clock, with its `mass` [kg] then."""

    element: str
    ship: str
    elapsed: float
    mass: float


def dockings(flight: Flight) -> tuple[Docking, ...]:
    """Return the dockings in order of time; each counts for the ports of both elements.

    A port of a ship that an earlier mission left has docked as often as it had then.
    """
    count = _earlier(flight)

    def cycle(element: str) -> Cycle:
        count[element] += 1
        rated = flight.scenario.elements[element].docking_cycles
        return Cycle(element, owner(flight.scenario, element), count[element], rated)

    return tuple(
        Docking(each.moment.event, name, at, cycle(each.event.element), cycle(each.event.target))
        for at, name, each in _passages(flight)
        if isinstance(each.event, DockEvent)
    )


def dockings_of(flight: Flight, element: str) -> int:
    """Return how often an element's port docks in all, earlier missions counted."""
    ports = (port for each in dockings(flight) for port in (each.active, each.target))
    numbers = (port.number for port in ports if port.element == element)
    return max(numbers, default=_earlier(flight)[element])


def _earlier(flight: Flight) -> Counter[str]:
    """Return how often the ports of ships that earlier missions left had docked by then."""
    return Counter(
        {
            element: dockings_of(mission, element)
            for name, mission in flight.left.items()
            for element in flight.scenario.ships[name].stack
        }
    )


def crew_transfers(flight: Flight) -> tuple[CrewTransfer, ...]:
    """Return who goes where, in order of time."""
    return tuple(
        CrewTransfer(each.moment.event, at, each.event.crew, each.event.origin, each.event.target)
        for at, _, each in _passages(flight)
        if isinstance(each.event, TransferCrewEvent)
    )


def jettisons(flight: Flight) -> tuple[Jettison, ...]:
    """Return what is let go, element by element, in order of time."""
    flights = {name: ship for name, ship, _ in flight.ships}
    found = [
        Jettison(
            element=name,
            ship=owner(flight.scenario, name),
            elapsed=at if went is None else at - each.moment.elapsed + went.t,
            mass=each.before.mass((name,)),
        )
        for at, ship, each in _passages(flight)
        if isinstance(each.event, JettisonEvent)
        for name, went in ((x, flights[ship].cast_off.get(x)) for x in each.event.elements)
    ]
    return tuple(sorted(found, key=lambda x: x.elapsed))


def _passages(flight: Flight) -> list[tuple[float, str, Passage]]:
    """Return the events of all ships in order of time, each with its time [s] and its ship."""
    every = [
        (each.moment.elapsed + shift, name, each)
        for name, ship, shift in flight.ships
        for each in ship.passages
    ]
    return sorted(every, key=lambda x: x[0])
