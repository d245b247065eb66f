"""Living aboard, drawn from supplies and energy as time passes, so that every burn weighs right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from types import MappingProxyType

from mplan.flight.state import State
from mplan.physics.arcs.lunar_orbit import radius_by_shadow
from mplan.scenario import Event, StayEvent
from mplan.scenario.stated import stated
from mplan.vehicle.evolved import evolved
from mplan.vehicle.living.account import NONE, LivingAccount
from mplan.vehicle.living.energy import PowerUse, asleep, feed, serving
from mplan.vehicle.living.flows import Span, flows

FRESH = LivingAccount()


def drawn(state: State, during: State, event: Event | None = None) -> State:
    """Return the state with what people have used until now taken out of the supplies.

    `during` tells who was where; `event` is what has passed, None for a wait before a burn. It
    is drawn from the parking orbit on, counted from lift-off: the climb is flown as on the pad.
    """
    passed = state.elapsed - state.ledger.lived_to
    if passed <= 0.0 or state.climbing:
        return state
    accounts = dict(state.ledger.accounts)
    for name, span in _spans(during, accounts, passed, event):
        accounts[name] = _lived(state, name, accounts.get(name, FRESH), span)
    _feed(during, accounts, passed)
    if isinstance(event, StayEvent) and during.landed:
        for name in during.joined(during.landed):
            carried = state.scenario.elements[name].supplies
            if carried and name in accounts:
                accounts[name] = accounts[name].put_out(carried)
    ledger = replace(state.ledger, accounts=MappingProxyType(accounts), lived_to=state.elapsed)
    return evolved(state, ledger=ledger)


def _spans(
    during: State, accounts: dict[str, LivingAccount], passed: float, event: Event | None
) -> Iterator[tuple[str, Span]]:
    """Yield the span of each element that somebody is in, or that leaks by itself."""
    out = _walkers_from(during, event)
    for name in (name for craft in during.craft for name in craft):
        carried = during.scenario.elements[name].supplies or NONE
        crew = during.crew.get(name, 0)
        if not crew and not carried.kept_pressurised:
            continue
        first = bool(crew) and not accounts.get(name, FRESH).seconds
        span = Span(
            crew,
            passed,
            passed,
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
    """Return the span with this stay's part of the walks, by its share of all stays."""
    scenario, walks = during.scenario, during.scenario.surface_walks
    if walks is None or not isinstance(event, StayEvent):
        return span
    stays = [x for x in scenario.events if isinstance(x, StayEvent)]
    usual = scenario.mission.surface_stay
    whole = sum(stated(x.duration or usual, "mission.surface_stay") for x in stays)
    count = walks.count * stated(event.duration or usual, "mission.surface_stay") / whole
    return span._replace(
        walks=count,
        outside=count * walks.duration * min(walks.crew, span.crew),
        walk_rate=walks.metabolic_rate,
    )


def _lived(state: State, name: str, before: LivingAccount, span: Span) -> LivingAccount:
    """Return an element's account after a span that ends now."""
    carried = state.scenario.elements[name].supplies or NONE
    after = before.lived(span, flows(carried, state.scenario.crew_day, span))
    return after.since(before, carried, state.elapsed, span.seconds)


def _feed(during: State, accounts: dict[str, LivingAccount], passed: float) -> None:
    """Draw the cabins' energy, and give them the water that fuel cells make of it."""
    radius = radius_by_shadow(during.moon.orbit) if during.moon else None
    _feed_asleep(during, accounts, passed, radius)
    for cabin in (name for name, crew in during.crew.items() if crew):
        group = serving(cabin, during.joined(cabin), during.scenario)
        uses = [
            (PowerUse(x, power.stored_energy, drawn=accounts.get(x, FRESH).drawn), power)
            for x, power in group
        ]
        feed(uses, passed, radius)
        made = 0.0
        for use, power in uses:
            account = accounts.get(use.element, FRESH)
            cells = power.fuel_cell
            made += (use.drawn - account.drawn) * cells.reactants if cells else 0.0
            accounts[use.element] = account.giving(use.drawn)
        if made > 0.0:
            carried = during.scenario.elements[cabin].supplies or NONE
            accounts[cabin] = accounts.get(cabin, FRESH).given_water(made, carried)


def _feed_asleep(
    during: State, accounts: dict[str, LivingAccount], passed: float, radius: float | None
) -> None:
    """Draw the stand-by loads of what nobody uses; water of its fuel cells goes overboard."""
    cabins = [name for name, crew in during.crew.items() if crew]
    for craft in during.craft:
        group = asleep(craft, cabins, during.scenario)
        uses = [
            (PowerUse(x, power.stored_energy, drawn=accounts.get(x, FRESH).drawn), power)
            for x, power in group
        ]
        feed(uses, passed, radius, standby=True)
        for use, _ in uses:
            accounts[use.element] = accounts.get(use.element, FRESH).giving(use.drawn)
