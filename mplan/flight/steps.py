"""Events other than burns: what joins, what is dropped, who moves, how long it takes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from mplan.flight import ascent, descent, entry, surface
from mplan.flight.record import Moment
from mplan.flight.ships import joining, transfer
from mplan.flight.state import Craft, State
from mplan.flight.unflyable import Unflyable
from mplan.physics.arcs.nbody import Arrival
from mplan.scenario import (
    CoastEvent,
    DockEvent,
    EnterEvent,
    Event,
    JettisonEvent,
    LandEvent,
    LiftOffEvent,
    SplashEvent,
    StayEvent,
    TransferCrewEvent,
    TransferPropellantEvent,
    UndockEvent,
)
from mplan.scenario.events import burns_of
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.vehicle.evolved import evolved
from mplan.vehicle.stack import crew_module, with_role


def take(state: State, index: int, event: Event) -> tuple[State, Moment]:
    """Return the state after an event, and its line in the timeline."""
    match event:
        case LiftOffEvent():
            return _lift_off(state, index, event)
        case JettisonEvent():
            return _jettison(state, index, event)
        case UndockEvent():
            return _undock(state, index, event)
        case DockEvent():
            return _dock(state, index, event)
        case TransferCrewEvent():
            return _transfer(state, index, event)
        case TransferPropellantEvent():
            return _transfer_propellant(state, index, event)
        case CoastEvent():
            return _coast(state, index, event)
        case LandEvent():
            return _land(state, index, event)
        case StayEvent():
            return _stay(state, index, event)
        case EnterEvent():
            return _enter(state, index, event)
        case SplashEvent():
            return _splash(state, index, event)
    raise TypeError(f"{event.title} is a burn")


def require_in_flight(state: State, index: int, *elements: str) -> None:
    """Raise Unflyable unless all `elements` are still in flight."""
    for name in elements:
        if not state.joined(name):
            raise Unflyable(("events", index), f"{name} has been dropped before this event")


def interface_of(state: State) -> Arrival | None:
    """Return the state at the entry interface, once the return to Earth is known."""
    if state.homeward:
        return state.homeward.interface
    return state.free_return


def splash_of(state: State) -> entry.Splash | None:
    """Return the splash, if the mission comes home: an estimate where no entry was flown."""
    if state.entry:
        return state.entry.splash
    interface = interface_of(state)
    return _straight_on(state, interface) if interface else None


def _straight_on(state: State, interface: Arrival) -> entry.Splash:
    return entry.straight_on(interface, entry.aimed_range(state.scenario))


def _lift_off(state: State, index: int, event: LiftOffEvent) -> tuple[State, Moment]:
    return state, _moment(event, state, state.craft[0])


def _jettison(state: State, index: int, event: JettisonEvent) -> tuple[State, Moment]:
    require_in_flight(state, index, *event.elements)
    for name in event.elements:
        if state.crew.get(name):
            raise Unflyable(("events", index), f"{name} still has {state.crew[name]} aboard")
    left = tuple(x for x in state.joined(event.elements[0]) if x not in event.elements)
    after = state.without(event.elements)
    moment = _moment(event, after, left)
    went = ascent.cast_off(state, event)
    return after, replace(moment, elapsed=went.t, mass=went.mass) if went else moment


def _undock(state: State, index: int, event: UndockEvent) -> tuple[State, Moment]:
    require_in_flight(state, index, *event.elements)
    whole = state.joined(event.elements[0])
    if not set(event.elements) < set(whole):
        raise Unflyable(
            ("events", index), "these elements are not joined to anything they could leave"
        )
    leaving = tuple(x for x in whole if x in event.elements)
    staying = tuple(x for x in whole if x not in event.elements)
    others = tuple(craft for craft in state.craft if craft != whole)
    after = evolved(state, craft=(staying, *others, leaving))
    return after.later(event.duration), _moment(event, after, leaving)


def _dock(state: State, index: int, event: DockEvent) -> tuple[State, Moment]:
    for name in (event.element, event.target):
        waits = joining.ship_of(state, name)
        if waits is not None:
            if state.alongside != waits:
                text = f"no rendezvous has led to {plain(waits)} before it docks"
                raise Unflyable(("events", index), text)
            state = joining.with_ship(state, waits)
    require_in_flight(state, index, event.element, event.target)
    arriving, host = state.joined(event.element), state.joined(event.target)
    after = state
    if arriving != host:
        others = tuple(craft for craft in state.craft if craft not in (arriving, host))
        after = evolved(state, craft=(_in_stack_order(state, arriving + host), *others))
    return after.later(event.duration), _moment(event, after, after.joined(event.target))


def _in_stack_order(state: State, elements: Iterable[str]) -> Craft:
    joined = set(elements)
    return tuple(name for name in state.scenario.order if name in joined)


def _transfer(state: State, index: int, event: TransferCrewEvent) -> tuple[State, Moment]:
    require_in_flight(state, index, event.origin, event.target)
    there = state.crew.get(event.origin, 0)
    seats = state.scenario.elements[event.target].seats
    now = state.crew.get(event.target, 0) + event.crew
    if there < event.crew:
        raise Unflyable(
            ("events", index), f"{event.origin} has {there} aboard, {event.crew} are to leave"
        )
    if now > seats:
        raise Unflyable(
            ("events", index), f"{event.target} has {seats} seats, {now} would be aboard"
        )
    if state.joined(event.origin) != state.joined(event.target):
        raise Unflyable(("events", index), f"{event.origin} and {event.target} are not joined")
    crew = {**state.crew, event.origin: there - event.crew, event.target: now}
    after = evolved(state, crew=crew).later(event.duration)
    if event.target == with_role(state.scenario, "crew module"):
        after = surface.samples_across(after)
    return after, _moment(event, state, state.joined(event.target))


def _transfer_propellant(
    state: State, index: int, event: TransferPropellantEvent
) -> tuple[State, Moment]:
    require_in_flight(state, index, event.origin, event.target)
    if event.target not in state.joined(event.origin):
        raise Unflyable(("events", index), f"{event.origin} and {event.target} are not joined")
    after, done = transfer.transferred(state, event)
    note = f"{done.arrived:,.0f} kg arrive, {done.lost:,.0f} kg are lost on the way"
    moment = _moment(event, after, after.joined(event.target), estimate=event.losses is None)
    return after.later(event.duration), evolved(moment, note=note)


def _coast(state: State, index: int, event: CoastEvent) -> tuple[State, Moment]:
    falling = event.leg == "descent coast"
    coasting = _lander(state.scenario.events[index:]) if falling else state.craft[0][0]
    moment = _moment(event, state, state.joined(coasting))
    if event.leg == "translunar coast":
        return state.until(state.outbound.perilune.t), moment
    if event.leg == "transearth coast":
        return state.until(_interface_or_stop(state, index).t), moment
    if event.leg == "descent coast":
        return state.later(descent.coast_time(state, index)), moment
    if event.leg == "parking orbit":
        return state, moment  # the injection waits for its place itself
    return state.later(stated(event.duration, "duration of a coast")), moment


def _interface_or_stop(state: State, index: int) -> Arrival:
    interface = interface_of(state)
    if interface is None:
        raise Unflyable(("events", index), "nothing has set the ship on its way home")
    return interface


def _land(state: State, index: int, event: LandEvent) -> tuple[State, Moment]:
    lander = _lander(reversed(state.scenario.events[:index]))
    require_in_flight(state, index, lander)
    return evolved(state, landed=lander), _moment(event, state, state.joined(lander))


def _lander(events: Iterable[Event]) -> str:
    """Return the element that flies the first powered descent of a row of events."""
    burns = (x.element for x in burns_of(events, "powered descent"))
    return stated(next(burns, None), "a powered descent")


def _stay(state: State, index: int, event: StayEvent) -> tuple[State, Moment]:
    ours = state.landed or with_role(state.scenario, "crew module") or state.craft[0][0]
    require_in_flight(state, index, ours)
    return surface.stay(state, event), _moment(event, state, state.joined(ours))


def _enter(state: State, index: int, event: EnterEvent) -> tuple[State, Moment]:
    require_in_flight(state, index, event.element)
    interface = _interface_or_stop(state, index)
    at = state.until(interface.t)
    moment = _moment(event, at, at.joined(event.element))
    return evolved(at, entry=entry.come_down(at, interface, event.element)), moment


def _splash(state: State, index: int, event: SplashEvent) -> tuple[State, Moment]:
    interface = _interface_or_stop(state, index)
    splash = state.entry.splash if state.entry else _straight_on(state, interface)
    at = state.until(splash.t)
    home = at.joined(crew_module(at.scenario))
    return at, _moment(event, at, home, estimate=bool(splash.estimate))


def _moment(event: Event, state: State, craft: Craft, *, estimate: bool = False) -> Moment:
    return Moment(event.title, event.do, state.elapsed, state.mass(craft), craft, estimate)
