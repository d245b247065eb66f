"""Whether the crew is where it has to be: on board the lander, and at last in the crew module."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.flight.sequence.fault import Fault, at
from mplan.flight.sequence.log import Log
from mplan.scenario import BurnEvent, EnterEvent, JettisonEvent, TransferCrewEvent
from mplan.vehicle.stack import crew_module


def on_pad(log: Log) -> Iterator[Fault]:
    """Yield whether the crew module has a seat for everybody."""
    crew = log.scenario.mission.crew
    if not crew:
        return
    name = crew_module(log.scenario)
    seats = log.scenario.elements[name].seats
    if crew > seats:
        text = f"{name} has {_seats(seats)}, {crew} are to lift off in it"
        yield Fault(("elements", name, "seats"), text)


def of_transfer(log: Log, index: int, event: TransferCrewEvent) -> Iterator[Fault]:
    """Yield what is wrong with a crew transfer, and move the crew."""
    there, now = log.crew.get(event.origin, 0), log.crew.get(event.target, 0) + event.crew
    seats = log.scenario.elements[event.target].seats
    if event.target not in log.craft_of(event.origin):
        yield at(index, f"{event.origin} and {event.target} are not docked; nobody can move over")
    if there < event.crew:
        yield at(index, f"{event.origin} has {there} aboard, {event.crew} are to leave it")
    if now > seats:
        yield at(index, f"{event.target} has {_seats(seats)}, {now} would be aboard")
    log.crew[event.origin] = max(0, there - event.crew)
    log.crew[event.target] = now


def of_jettison(log: Log, index: int, event: JettisonEvent) -> Iterator[Fault]:
    """Yield who would be left behind, and take the crew back aboard for what follows."""
    for name in event.elements:
        aboard = log.crew.pop(name, 0)
        if aboard:
            yield at(index, f"{name} is jettisoned with {aboard} of the crew aboard")
            log.told.add(name)
            others = (x for x in log.craft_of(name) if x not in event.elements)
            seated = (x for x in others if log.scenario.elements[x].seats)
            home = next(seated, crew_module(log.scenario))
            log.crew[home] = log.crew.get(home, 0) + aboard


def of_descent(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield whether as many land as the mission states."""
    landing = log.scenario.mission.landing_crew
    craft = log.craft_of(event.element)
    aboard = sum(log.crew.get(name, 0) for name in craft)
    if aboard == landing or not craft:  # a lander that is gone is told of its burn
        return
    lander = " and ".join(craft)
    moved = any(x.do == "transfer crew" for x in log.events[:index])
    if aboard == 0 and landing and not moved:
        text = f"nobody boards the lander ({lander}): there is no crew transfer before it"
    else:
        text = f"{aboard} of the crew are aboard the lander ({lander}), {landing} are to land"
    yield at(index, text)
    seated = next((x for x in craft if log.scenario.elements[x].seats), craft[0])
    log.crew = {crew_module(log.scenario): log.scenario.mission.crew - landing, seated: landing}


def of_lift_off_from_moon(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield whether everybody who landed leaves the Moon."""
    landing = log.scenario.mission.landing_crew
    aboard = sum(log.crew.get(name, 0) for name in log.craft_of(event.element))
    seats = sum(log.scenario.elements[name].seats for name in log.craft_of(event.element))
    if aboard > seats:
        text = (
            f"{event.element} has {_seats(seats)}; {aboard - seats} of {landing} stay on the Moon"
        )
        yield at(index, text)


def of_entry(log: Log, index: int, event: EnterEvent) -> Iterator[Fault]:
    """Yield who is not aboard what comes home."""
    away = {name: n for name, n in log.crew.items() if n and name != event.element}
    if away:
        where = ", ".join(f"{n} in {name}" for name, n in away.items())
        yield at(index, f"not all of the crew are in {event.element} at entry: {where}")


def _seats(seats: int) -> str:
    return f"{seats} seat" if seats == 1 else f"{seats} seats"
