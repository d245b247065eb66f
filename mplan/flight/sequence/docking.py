"""Whether craft can dock and undock as the events have it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mplan.flight.sequence import chain
from mplan.flight.sequence.fault import Fault, at
from mplan.flight.sequence.log import Log
from mplan.scenario import BurnEvent, DockEvent, UndockEvent
from mplan.scenario.profiles import NEEDS
from mplan.vehicle.docking import NONE, fits, port

SHIP = ("crew module", "service module")


def of_dock(log: Log, index: int, event: DockEvent) -> Iterator[Fault]:
    """Yield why two elements cannot dock, and join them."""
    one, other = event.element, event.target
    ports = {name: port(log.scenario, name) for name in (one, other)}
    bare = [name for name, kind in ports.items() if kind == NONE]
    pair = frozenset((one, other))
    if pair in log.mended and pair in log.ports:
        return
    if pair in log.ports:
        yield at(index, f"{one} and {other} are docked already")
        return
    if bare:
        yield at(index, f"{' and '.join(bare)} {_has(bare)} no docking port")
        log.join(one, other)
        return
    if not fits(*ports.values()):
        kinds = f"{one} has {_an(ports[one])} docking port, {other} {_an(ports[other])} one"
        yield at(index, f"{kinds}: they do not fit")
    if log.chain_of(one) != log.chain_of(other):
        yield from _apart(log, index, event)
    log.join(one, other)
    for name in (one, other):
        covered = chain.on_nose(log.chain_of(name), name)
        if covered not in (None, one, other):
            yield at(index, f"the docking port of {name} is covered by {covered}")


def _apart(log: Log, index: int, event: DockEvent) -> Iterator[Fault]:
    """Yield that a lander docks before its rendezvous has brought it to the ship."""
    legs = [x.leg if x.do == "burn" else "" for x in log.events]
    away = "descent-orbit insertion" in legs[:index] and "rendezvous" not in legs[:index]
    if away:
        met = legs.index("rendezvous")
        text = f"{event.element} docks to {event.target} before the rendezvous, events.{met}"
        yield at(index, text)


def of_undock(log: Log, index: int, event: UndockEvent) -> Iterator[Fault]:
    """Yield why elements cannot leave, and let them go."""
    craft = log.craft_of(event.elements[0])
    if frozenset(craft) in log.mended:
        return
    if set(event.elements) < set(craft):
        log.part(event.elements)
        return
    apart = [name for name in event.elements if name not in craft]
    what = " and ".join(event.elements)
    if apart:
        text = f"{event.elements[0]} and {' and '.join(apart)} are not docked to each other"
    else:
        text = f"{what} {_has(event.elements)} nothing to undock from"
    yield at(index, text)


def of_landing_burn(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield that a lander has not left its ship, and part them."""
    if "rendezvous" not in NEEDS[log.scenario.mission.profile].steps:
        return  # nothing is to stay in orbit: the whole ship lands
    craft = log.craft_of(event.element)
    ship = [x for x in craft if log.scenario.elements[x].role in SHIP]
    if ship:
        text = (
            f"{event.element} burns with {' and '.join(ship)} still docked: there is no undocking"
        )
        lander = [x for x in craft if x not in ship]
        yield at(index, text, do="undock", elements=lander, duration="30 min")
        log.part(lander)
        log.mended.add(frozenset(lander))


def _has(names: Sequence[str]) -> str:
    return "has" if len(names) == 1 else "have"


def _an(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"
