"""Living aboard, drawn from supplies and energy as time passes, so that every burn weighs right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from mplan.flight.living.around import around
from mplan.flight.living.feeding import SOUND, Accounts, Feeding, Hurt
from mplan.flight.living.sharing import share
from mplan.flight.state import State
from mplan.scenario import Event, StayEvent
from mplan.scenario.stated import stated
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import Ledger
from mplan.vehicle.living.account import FRESH, NONE, LivingAccount
from mplan.vehicle.living.energy import serving
from mplan.vehicle.living.flows import Span, flows


class Lived(NamedTuple):
    """The ledger after a time, and the energy [J] that lacked in it, by cabin in use."""

    ledger: Ledger
    lacking: Mapping[str, float]


def drawn(state: State, during: State, event: Event | None = None) -> State:
    """Return the state with what people have used until now taken out of the supplies.

    `during` tells who was where; `event` is what has passed, None for a wait before a burn. It
    is drawn from the parking orbit on, counted from lift-off: the climb is flown as on the pad.
    """
    if state.elapsed <= state.ledger.lived_to or state.climbing:
        return state
    ledger = lived(state, during, event).ledger
    if isinstance(event, StayEvent) and during.landed:
        ledger = _put_out(ledger, during)
    return evolved(state, ledger=ledger)


def lived(state: State, during: State, event: Event | None = None, hurt: Hurt = SOUND) -> Lived:
    """Return what is there once people have lived from `lived_to` until a state's time.

    `during` tells who was where, `event` what is under way; what is left on the Moon at the end
    of a stay is still aboard.
    """
    passed = state.elapsed - state.ledger.lived_to
    before, accounts = state.ledger.accounts, dict(state.ledger.accounts)
    spans = dict(_spans(during, accounts, passed, event, hurt))
    for name, span in spans.items():
        accounts[name] = _lived(state, name, accounts.get(name, FRESH), span)
    fed = Feeding(during, state.ledger, accounts, passed, hurt)
    lacking = fed.all()
    share(during, accounts)
    for name in spans:
        carried = state.scenario.elements[name].supplies or NONE
        then = before.get(name, FRESH)
        accounts[name] = accounts[name].since(then, carried, state.elapsed, passed)
    ledger = fed.ledger(state.elapsed)
    return Lived(ledger, lacking)


def _put_out(ledger: Ledger, during: State) -> Ledger:
    """Return the ledger once what stays on the Moon has been put out of what stands there."""
    accounts = dict(ledger.accounts)
    for name in during.joined(during.landed):
        carried = during.scenario.elements[name].supplies
        if carried and name in accounts:
            accounts[name] = accounts[name].put_out(carried)
    return ledger.after_living(ledger.levels, accounts, ledger.lived_to)


def _spans(
    during: State, accounts: Accounts, passed: float, event: Event | None, hurt: Hurt
) -> Iterator[tuple[str, Span]]:
    """Yield the span of each element that somebody is in, or that leaks by itself."""
    out = _walkers_from(during, event)
    for name in (name for craft in during.craft for name in craft):
        carried = during.scenario.elements[name].supplies or NONE
        crew = during.crew.get(name, 0)
        if not crew and not carried.kept_pressurised:
            continue
        first = bool(crew) and not accounts.get(name, FRESH).seconds
        leaks = name in hurt.leak
        span = Span(
            crew,
            passed,
            0.0 if leaks else passed,
            suited=crew * passed if leaks else 0.0,
            heat=_load(during, name, passed) * passed if crew else 0.0,
            fillings=carried.repressurisations if first else 0,
        )
        yield name, _with_walks(span, during, event) if name == out else span


def _load(during: State, cabin: str, passed: float) -> float:
    """Return the electric load of a cabin in use and of what serves it [W]."""
    craft = during.joined(cabin)
    there = around(during, craft, passed)
    return sum(x.load_in(there.phase) for _, x in serving(cabin, craft, during.scenario))


def _walkers_from(during: State, event: Event | None) -> str | None:
    """Return the element that walkers leave from, if this is the stay on the Moon."""
    scenario = during.scenario
    if not isinstance(event, StayEvent) or scenario.surface_walks is None:
        return None
    landed = during.joined(during.landed)
    return next((name for name in landed if during.crew.get(name)), None)


def _with_walks(span: Span, during: State, event: Event | None) -> Span:
    """Return the span with its part of the walks, by its share of all stays."""
    scenario, walks = during.scenario, during.scenario.surface_walks
    if walks is None or not isinstance(event, StayEvent):
        return span
    stays = [x for x in scenario.events if isinstance(x, StayEvent)]
    usual = scenario.mission.surface_stay
    whole = sum(stated(x.duration or usual, "mission.surface_stay") for x in stays)
    count = walks.count * span.seconds / whole
    return span._replace(
        walks=count,
        outside=count * walks.duration * min(walks.crew, span.crew),
        walk_rate=walks.metabolic_rate,
    )


def _lived(state: State, name: str, before: LivingAccount, span: Span) -> LivingAccount:
    """Return an element's account after a span that ends now."""
    carried = state.scenario.elements[name].supplies or NONE
    return before.lived(span, flows(carried, state.scenario.crew_day, span))
