"""Living aboard, drawn from supplies and energy as time passes, so that every burn weighs right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

from mplan.flight.living.sharing import share
from mplan.flight.state import State
from mplan.physics.arcs.lunar_orbit import radius_by_shadow
from mplan.scenario import ElementPower, Event, StayEvent
from mplan.scenario.stated import stated
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import Ledger
from mplan.vehicle.living.account import NONE, LivingAccount
from mplan.vehicle.living.energy import PowerUse, asleep, feed, serving
from mplan.vehicle.living.flows import Span, flows

FRESH = LivingAccount()
Accounts = dict[str, LivingAccount]


class Hurt(NamedTuple):
    """What has failed: `stored` [J] is all an element could give, `supply` a share that is left.

    The cabins that `leak` hold no air: their crew are in suits, which leak instead.
    """

    stored: Mapping[str, float] = MappingProxyType({})
    supply: float = 1.0
    leak: frozenset[str] = frozenset()


class Lived(NamedTuple):
    """The ledger after a time, and the energy [J] that lacked in it, by cabin in use."""

    ledger: Ledger
    lacking: Mapping[str, float]


SOUND = Hurt()


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
    lacking = _feed(during, accounts, passed, hurt)
    share(during, accounts)
    for name in spans:
        carried = state.scenario.elements[name].supplies or NONE
        then = before.get(name, FRESH)
        accounts[name] = accounts[name].since(then, carried, state.elapsed, passed)
    ledger = replace(state.ledger, accounts=MappingProxyType(accounts), lived_to=state.elapsed)
    return Lived(ledger, lacking)


def _put_out(ledger: Ledger, during: State) -> Ledger:
    """Return the ledger once what stays on the Moon has been put out of what stands there."""
    accounts = dict(ledger.accounts)
    for name in during.joined(during.landed):
        carried = during.scenario.elements[name].supplies
        if carried and name in accounts:
            accounts[name] = accounts[name].put_out(carried)
    return replace(ledger, accounts=MappingProxyType(accounts))


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
            heat=_load(during, name) * passed if crew else 0.0,
            fillings=carried.repressurisations if first else 0,
        )
        yield name, _with_walks(span, during, event) if name == out else span


def _load(during: State, cabin: str) -> float:
    """Return the electric load of a cabin in use and of what serves it [W]."""
    group = serving(cabin, during.joined(cabin), during.scenario)
    return sum(power.load for _, power in group)


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


def _feed(during: State, accounts: Accounts, passed: float, hurt: Hurt) -> Mapping[str, float]:
    """Draw the cabins' energy, and give them the water that fuel cells make of it.

    Returns what lacked [J], by cabin.
    """
    radius, lacking = radius_by_shadow(during.moon.orbit) if during.moon else None, {}
    _feed_asleep(during, accounts, passed, radius, hurt)
    for cabin in (name for name, crew in during.crew.items() if crew):
        group = serving(cabin, during.joined(cabin), during.scenario)
        uses = [_use(name, power, accounts, hurt) for name, power in group]
        feed(uses, passed, radius)
        lacking[cabin], made = sum(use.lacking for use, _ in uses), 0.0
        for use, power in uses:
            account = accounts.get(use.element, FRESH)
            cells = power.fuel_cell
            made += (use.drawn - account.drawn) * cells.reactants if cells else 0.0
            accounts[use.element] = account.giving(use.drawn)
        if made > 0.0:
            carried = during.scenario.elements[cabin].supplies or NONE
            accounts[cabin] = accounts.get(cabin, FRESH).given_water(made, carried)
    return lacking


def _use(
    name: str, power: ElementPower, accounts: Accounts, hurt: Hurt
) -> tuple[PowerUse, ElementPower]:
    """Return what an element has drawn so far, and its power as it still is."""
    stored = hurt.stored.get(name, power.stored_energy)
    if hurt.supply != 1.0:
        power = power.model_copy(update={"supply": power.supply * hurt.supply})
    return PowerUse(name, stored, drawn=accounts.get(name, FRESH).drawn), power


def _feed_asleep(
    during: State, accounts: Accounts, passed: float, radius: float | None, hurt: Hurt
) -> None:
    """Draw the stand-by loads of what nobody uses; water of its fuel cells goes overboard."""
    cabins = [name for name, crew in during.crew.items() if crew]
    for craft in during.craft:
        group = asleep(craft, cabins, during.scenario)
        uses = [_use(name, power, accounts, hurt) for name, power in group]
        feed(uses, passed, radius, standby=True)
        for use, _ in uses:
            accounts[use.element] = accounts.get(use.element, FRESH).giving(use.drawn)
