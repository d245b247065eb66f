"""The walk over the events, each judged by what it does."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from mplan.flight.sequence import crew, docking, entry, milestones, propellant, stages
from mplan.flight.sequence.fault import Fault, at
from mplan.flight.sequence.log import Log
from mplan.scenario import (
    BurnEvent,
    DockEvent,
    EnterEvent,
    Event,
    JettisonEvent,
    Scenario,
    TransferCrewEvent,
    TransferPropellantEvent,
    UndockEvent,
)

_ON_THE_WAY_DOWN = ("descent-orbit insertion", "powered descent")


def faults(scenario: Scenario) -> tuple[Fault, ...]:
    """Return the faults in the order of events, those of the first event first.

    Where legs lack or come in a wrong order, that alone is told: the rest would follow from it.
    """
    wrong = tuple(milestones.faults(scenario))
    return tuple(sorted(wrong or _walked(scenario), key=lambda x: x.event))


def _walked(scenario: Scenario) -> Iterator[Fault]:
    log = Log(scenario)
    for name, mission in scenario.left.items():
        log.meet(_left(mission, scenario.ships[name].stack))
    for view in scenario.views.values():
        log.meet(_after(view))
    yield from _judged(log)


def _left(mission: Scenario, elements: Collection[str]) -> Log:
    """Return what an earlier mission leaves of itself: the craft made of some elements."""
    log = _after(mission)
    log.keep(elements)
    return log


def _after(view: Scenario) -> Log:
    """Return what a ship launched on its own comes to, its faults being told with its flight."""
    log = Log(view)
    for other in view.views.values():
        log.meet(_after(other))
    for name, mission in view.left.items():
        log.meet(_left(mission, view.ships[name].stack))
    for _ in _judged(log):
        pass
    return log


def _judged(log: Log) -> Iterator[Fault]:
    yield from crew.on_pad(log)
    yield from stages.never_lit(log)
    for index, event in enumerate(log.scenario.events):
        gone = [name for name in _called(event) if name in log.gone]
        if gone and not isinstance(event, BurnEvent | JettisonEvent):
            if gone[0] not in log.told:
                by = log.gone[gone[0]]
                text = f"{event.title}: {gone[0]} has been jettisoned before, by events.{by}"
                yield at(index, text)
            continue
        yield from _of(log, index, event)


def _called(event: Event) -> tuple[str, ...]:
    """Return the elements that an event happens to."""
    match event:
        case DockEvent():
            return event.element, event.target
        case UndockEvent() | JettisonEvent():
            return event.elements
        case TransferCrewEvent() | TransferPropellantEvent():
            return event.origin, event.target
        case BurnEvent() | EnterEvent():
            return (event.element,)
    return ()


def _of(log: Log, index: int, event: Event) -> Iterator[Fault]:
    match event:
        case BurnEvent():
            yield from _burn(log, index, event)
        case JettisonEvent():
            yield from stages.of_jettison(log, index, event)
            yield from crew.of_jettison(log, index, event)
            log.jettison(event.elements, index)
        case DockEvent():
            yield from docking.of_dock(log, index, event)
        case UndockEvent():
            yield from docking.of_undock(log, index, event)
        case TransferCrewEvent():
            yield from crew.of_transfer(log, index, event)
        case TransferPropellantEvent():
            yield from propellant.of_transfer(log, index, event)
        case EnterEvent():
            yield from entry.of_entry(log, index, event)
            yield from crew.of_entry(log, index, event)


def _burn(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    if event.leg in _ON_THE_WAY_DOWN:
        yield from docking.of_landing_burn(log, index, event)
    if event.leg == "powered descent":
        yield from crew.of_descent(log, index, event)
    if event.leg == "lunar ascent":
        yield from crew.of_lift_off_from_moon(log, index, event)
    yield from stages.of_burn(log, index, event)
