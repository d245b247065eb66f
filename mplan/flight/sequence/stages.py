"""Whether every stage is lit when nothing is in its way, and jettisoned once, after its burn."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.flight.sequence import chain
from mplan.flight.sequence.docking import SHIP
from mplan.flight.sequence.fault import Fault, at
from mplan.flight.sequence.log import Log
from mplan.scenario import BurnEvent, JettisonEvent
from mplan.scenario.profiles import HYBRID_TRANSFER, NEEDS
from mplan.vehicle.inertia import LANDER
from mplan.vehicle.ledger import main_engine

_PUSHING = ("launch stage", "transfer stage", "descent stage", "ascent stage")
_COVERS = ("escape tower", "fairing")
_SPENT = ("launch stage", "transfer stage", "adapter", *_COVERS)
_MOON = "it is carried to the Moon"


def never_lit(log: Log) -> Iterator[Fault]:
    """Yield the stages and main engines that no event lights; a tower's is for the bad day.

    A lander that a flight leaves at the Moon may be for those who come later.
    """
    burns = [x for x in log.events if isinstance(x, BurnEvent)]
    lit = {x for event in burns for x in (event.element, *event.beside)}
    named = {(event.element, event.engine) for event in burns}
    stays = "splashdown" not in NEEDS[log.scenario.mission.profile].steps
    for place, name in enumerate(log.scenario.stack):
        element = log.scenario.elements[name]
        engines = [key for key, x in element.engines.items() if x.purpose == "main"]
        if element.role == "escape tower" or (stays and element.role in LANDER):
            continue
        if name not in lit and (engines or element.role in _PUSHING):
            host = f"; it stands beside {element.beside}" if element.beside else ""
            yield Fault(("stack", place), f"{name} is never lit{host}")
        elif (name, None) not in named and name not in _beside(burns):
            for key in engines:
                if (name, key) not in named:
                    path = ("elements", name, "engines", key)
                    yield Fault(path, f"the main engine {key} of {name} is never lit")


def _beside(burns: list[BurnEvent]) -> set[str]:
    return {name for event in burns for name in event.beside}


def of_burn(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield what stands in the way of a burn, and take it out of the way for what follows."""
    for name in (event.element, *event.beside):
        if name in log.told:
            return
        if name in log.gone:
            yield at(index, f"{name} burns after it is jettisoned by events.{log.gone[name]}")
            return
    yield from _apart(log, index, event)
    enclosed = tuple(_enclosed(log, index, event))
    yield from enclosed
    _, engine = main_engine(log.scenario.elements[event.element], event.engine)
    if engine.purpose == "main" and not enclosed:
        yield from _obstructed(log, index, event)
    if engine.crossfeed and engine.crossfeed not in log.craft_of(event.element):
        text = (
            f"{event.element} draws propellant from {engine.crossfeed}, which is not joined to it"
        )
        yield at(index, text)
    if event.leg == "translunar injection":
        yield from _carried_along(log, index, event)
    if event.leg == "lunar-orbit insertion":
        yield from _brought_along(log, index, event)


def _apart(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    craft = log.craft_of(event.element)
    for name in event.beside:
        if name not in craft:
            yield at(index, f"{name} is to burn beside {event.element} and is not joined to it")


def _enclosed(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield the element that houses the one that burns, from the innermost out."""
    house, chained = log.scenario.elements[event.element].inside, log.craft_of(event.element)
    while house is not None and house in chained:
        yield at(index, f"{event.element} is lit inside {house}, {_when(log, house, index)}")
        log.assume_gone([house])
        house = log.scenario.elements[house].inside


def _obstructed(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield the nearest element that the nozzles point at; all behind it go with it."""
    joined = log.chain_of(event.element)
    under = chain.behind_nozzles(joined, event.element)
    if under is None:
        return
    if _ship_on_lander(log, event.element, under):
        # As if it had turned and docked: it leaves the lander to land later.
        text = f"{event.element} is lit on top of {under}: no docking has turned the ship round"
        yield at(index, text)
        log.join(event.element, under)
        return
    if log.goes_later(under, index) is None:
        yield _kept(index, under, _fate(event))
    else:
        yield at(index, f"{event.element} is lit on top of {under}, {_when(log, under, index)}")
    places = chain.names(joined)
    here, there = places.index(event.element), places.index(under)
    below = places[: there + 1] if there < here else places[there:]
    log.assume_gone(_with_beside(log, below))


def _kept(index: int, name: str, fate: str) -> Fault:
    text = f"{name} is never jettisoned; {fate}"
    return at(index, text, do="jettison", elements=[name])


def _ship_on_lander(log: Log, burning: str, under: str) -> bool:
    roles = log.scenario.elements[burning].role, log.scenario.elements[under].role
    return roles[0] in SHIP and roles[1] in ("descent stage", "ascent stage")


def _fate(event: BurnEvent) -> str:
    """Return what becomes of a stage that stays below one that burns."""
    early = event.leg in ("climb", "translunar injection", "outbound correction", HYBRID_TRANSFER)
    if early or event.leg == "lunar-orbit insertion":
        return _MOON
    return f"{event.element} burns into it at {event.title}"


def _with_beside(log: Log, names: tuple[str, ...]) -> list[str]:
    return [*names, *(x for x, host in log.beside.items() if host in names)]


def _carried_along(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield what the injection carries to the Moon for nothing: spent stages, tower, fairing."""
    for name in log.craft_of(event.element):
        role = log.scenario.elements[name].role
        spent = role == "launch stage" and name != event.element
        if not (spent or role in _COVERS) or log.burns_later(name, index) is not None:
            continue
        if log.goes_later(name, index) is None:
            yield _kept(index, name, _MOON)
        else:
            text = f"{name} is carried through the translunar injection, {_when(log, name, index)}"
            yield at(index, text)
        log.assume_gone([name])


def _brought_along(log: Log, index: int, event: BurnEvent) -> Iterator[Fault]:
    """Yield what is brought into lunar orbit though nothing is to become of it any more."""
    for name in log.craft_of(event.element):
        if log.scenario.elements[name].role not in _SPENT or name == event.element:
            continue
        if log.burns_later(name, index) is None and log.goes_later(name, index) is None:
            yield _kept(index, name, _MOON)
            log.assume_gone([name])


def of_jettison(log: Log, index: int, event: JettisonEvent) -> Iterator[Fault]:
    """Yield what is jettisoned twice, too early, or with what is still inside it."""
    for name in event.elements:
        if name in log.gone:
            yield at(index, f"{name} is jettisoned twice, here and by events.{log.gone[name]}")
            continue
        later = log.burns_later(name, index)
        if later is not None and not log.burned_before(name, index):
            yield at(index, f"{name} is jettisoned before its burn, events.{later}")
            log.told.add(name)
    yield from _still_inside(log, index, event)
    yield from _untimely(log, index, event)


def _still_inside(log: Log, index: int, event: JettisonEvent) -> Iterator[Fault]:
    """Yield what is lost with the element that houses it, as nothing has taken it out.

    A fairing covers and holds nothing: what stands inside it stands on what is below.
    """
    for house in event.elements:
        if not log.there(house) or log.scenario.elements[house].role == "fairing":
            continue
        joined = log.craft_of(house)
        inside = [x for x in joined if log.scenario.elements[x].inside == house]
        inside = [x for x in inside if x not in event.elements]
        held = any(len(pair & set(inside)) == 1 for pair in log.ports)
        if inside and not held:
            what = " and ".join(inside)
            yield at(index, f"{house} is jettisoned with {what} still inside: no docking holds it")
            ship = next((x for x in joined if log.scenario.elements[x].role == SHIP[0]), None)
            if ship is not None:
                log.join(ship, inside[-1])
                log.mended.add(frozenset((ship, inside[-1])))


def _untimely(log: Log, index: int, event: JettisonEvent) -> Iterator[Fault]:
    """Yield a time that counts from the ignition of no climb burn."""
    if event.at is None:
        return
    burns = [x for x in log.events[:index] if isinstance(x, BurnEvent)]
    if not burns or burns[-1].leg != "climb":
        text = "its time `at` counts from the ignition of a climb burn; none is listed before it"
        yield at(index, text)


def _when(log: Log, element: str, index: int) -> str:
    """Return when an element goes at last."""
    later = log.goes_later(element, index)
    return "which is never jettisoned" if later is None else f"jettisoned only by events.{later}"
