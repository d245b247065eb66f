"""The mission flown forward, event by event, with one state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from mplan.flight import ascent, boil_off, burn, crossfeed, ended, sequence, steps, translunar
from mplan.flight.erring.flown_errors import AS_PLANNED, FlownErrors
from mplan.flight.housekeeping import drawing
from mplan.flight.housekeeping import events as thrusters
from mplan.flight.living.drawn import drawn as lived
from mplan.flight.record import BurnRecord, Ended, Flight, Moment, Passage
from mplan.flight.ships import joining, keeping, left, second_launch
from mplan.flight.state import NotYet, State
from mplan.flight.unflyable import Unflyable
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.wording import plain
from mplan.vehicle import ledger, stack


def fly(
    scenario: Scenario,
    like: LaunchClimb | None = None,
    others_like: Mapping[str, LaunchClimb] | None = None,
    known: Mapping[str, Flight] | None = None,
    erring: Mapping[str, FlownErrors] | None = None,
) -> Flight:
    """Fly a scenario from lift-off to splash, its climb optimised or steered as another one.

    With `erring` ships, by name and "" for the main one, it is flown as planned, and errs.

    Ships launched on their own are flown first, in the order of the file, steered as `others_like`;
    before them missions that left ships, but for those that are `known`.
    Raises Unflyable when no trajectory exists for its dates and orbits, or an event asks for
    what is no longer there. A burn that its tanks cannot pay for does not stop the walk: its
    record says so, and a check finds it. A climb that does not reach its orbit ends it.
    Where the order of events is at fault, nothing is flown.
    """
    earlier = {name: _earlier(name, each, known) for name, each in scenario.left.items()}
    left_there = {x: left.state_of(each, x, scenario.ships[x].stack) for x, each in earlier.items()}
    others, waiting = _others(scenario, others_like or {}, left_there, erring=erring or {})
    for name, each in others.items():
        if each.ended is not None:
            short = replace(each.ended, text=f"{plain(name)}: {each.ended.text}", index=0)
            return Flight(scenario, on_pad(scenario, like), (), ended=short, others=others)
    start = replace(on_pad(scenario, like, waiting), erring=(erring or {}).get(""))
    flown = _fly_ship(scenario, start, others)
    return replace(flown, left=earlier) if earlier else flown


def _earlier(name: str, mission: Scenario, known: Mapping[str, Flight] | None) -> Flight:
    """Return the flight of a mission that left the ship `name`; it stays the same when flown."""
    flown = (known or {}).get(name)
    if flown is not None and flown.scenario is mission:
        return flown
    try:
        return fly(mission)
    except Unflyable as problem:
        text = f"found {mission.source.name}, which cannot be flown: {problem}"
        raise Unflyable(("ships", name, "left_by"), text) from problem


def _others(
    scenario: Scenario,
    like: Mapping[str, LaunchClimb],
    there: Mapping[str, State],
    last: str = "",
    erring: Mapping[str, FlownErrors] = MappingProxyType({}),
) -> tuple[dict[str, Flight], dict[str, State]]:
    """Return the flights of the ships launched on their own, and the states of those that wait.

    `there` are those that earlier missions left. Up to the one that ends before it is where it
    should be, or up to the `last` one.
    """
    others: dict[str, Flight] = {}
    waiting = dict(there)
    for name, view in scenario.views.items():
        try:
            start = replace(on_pad(view, like.get(name), waiting), erring=erring.get(name))
            others[name] = each = _fly_ship(view, start)
        except Unflyable as problem:  # about what the file states for this ship
            raise Unflyable(view.in_file(problem.path), str(problem)) from problem
        waiting = {**each.end.waiting, name: each.end}
        if each.ended is not None or name == last:
            break
    return others, waiting


def fly_view(view: Scenario, like: Flight | None = None) -> Flight | None:
    """Fly one of the ships launched on its own until it is met, its climb steered as another's.

    Those before it are flown too, which it may meet; None where one of them ends early.
    """
    assert view.main is not None
    climbs = {view.ship: like.climb} if like and like.climb else {}
    return _others(view.main, climbs, {}, view.ship)[0].get(view.ship)


def fly_like(scenario: Scenario, other: Flight | None) -> Flight:
    """Fly a scenario with its climbs steered as those of another flight, if there is one."""
    if other is None:
        return fly(scenario)
    return fly(scenario, other.climb, other.climbs_of_others, other.left)


def _fly_ship(
    scenario: Scenario, start: State, others: Mapping[str, Flight] | None = None
) -> Flight:
    """Fly one ship, unless its events are out of order.

    One that errs flies the events of its plan, whose order was judged.
    """
    wrong = () if start.erring else sequence.faults(scenario)
    if not wrong:
        return fly_on(scenario, start, others=others)
    first = wrong[0]
    why = Ended(first.text, scenario.events[first.event].title, first.event)
    return Flight(scenario, start, (), ended=why, faults=wrong, others=others or {})


def fly_on(
    scenario: Scenario,
    state: State,
    flown: Sequence[Passage] = (),
    others: Mapping[str, Flight] | None = None,
) -> Flight:
    """Fly the events that follow those already `flown`, from the `state` after them."""
    passages = list(flown)
    start = passages[0].before if passages else state
    others = others or {}
    for index in range(len(passages), len(scenario.events)):
        passages.append(_passage(state, index))
        ended.require_sound(passages[-2:], index)
        state = passages[-1].after
        short = ended.short_of_orbit(passages)
        if short is not None:
            return Flight(scenario, start, tuple(passages), ended=short, others=others)
    splash = steps.splash_of(state)
    return Flight(scenario, start, tuple(passages), splash=splash, others=others)


def climb(scenario: Scenario) -> LaunchClimb:
    """Return the climb alone, which does not ask where the Moon is."""
    index = next(i for i, event in enumerate(scenario.events) if event.do == "burn")
    burns = scenario.events[index]
    assert burns.do == "burn"
    return ascent.fly_climb(on_pad(scenario), burns, scenario.events[index + 1 :])


def _passage(before: State, index: int) -> Passage:
    """Return one event as flown; Unflyable where it asks for what is not there yet."""
    scenario = before.scenario
    event, own = scenario.events[index], scenario.events[index + 1 :]
    record = None
    start = before
    try:
        if event.do == "burn":
            ahead = (*own, *scenario.then)
            before = _kept(before, event, ahead)
            steps.require_in_flight(before, index, event.element)
            crossfeed.require_joined(before, index, event)
            climbs = event.leg == "climb"  # of its own stages alone
            errs = before.erring.burns.get(index, AS_PLANNED) if before.erring else AS_PLANNED
            after, record = burn.fly_burn(before, event, own if climbs else ahead, errs)
            moment = _ignition(record)
        else:
            after, moment = steps.take(before, index, event)
        if not (after.climbing or after.dated) and after.climb.reached:
            after = _dated(after, own)
    except NotYet as problem:
        raise Unflyable(("events", index), f"{event.title} comes too early: {problem}") from problem
    after = lived(boil_off.drawn(after), before, event)
    after = thrusters.after(before, event, after, record)
    return Passage(event, start, after, moment, record)


def _kept(state: State, event: BurnEvent, ahead: Sequence[Event]) -> State:
    """Return the state with the upkeep of the ship that a burn leads to, at the Moon."""
    name = joining.met_ahead(state, ahead) if event.leg == joining.AT_THE_MOON else None
    return state if name is None else keeping.kept(state, name)


def _dated(state: State, own: Sequence[Event]) -> State:
    """Return the state after the climb with its date: a ship to be met decides it, or the Moon.

    The way to the Moon may be that of another ship, which meets this one and goes on with it.
    """
    if state.erring is not None:
        return replace(state, departing=state.erring.departing, second=state.erring.second)
    launched = second_launch.launched(state, own)
    if launched.dated:
        return launched
    return translunar.find_departure(state, (*own, *state.scenario.then))


def on_pad(
    scenario: Scenario,
    like: LaunchClimb | None = None,
    waiting: Mapping[str, State] | None = None,
) -> State:
    """Return the state before lift-off, with the ships that wait to be met."""
    return State(
        scenario=scenario,
        ledger=ledger.filled(scenario),
        craft=(tuple(scenario.stack),),
        crew=stack.crew_on_pad(scenario),
        cargo=stack.cargo(scenario),
        thrusters=drawing.nothing_yet(scenario),
        steered_as=like,
        waiting=waiting or {},
    )


def _ignition(record: BurnRecord) -> Moment:
    return Moment(
        record.name,
        "burn",
        record.elapsed,
        record.mass,
        record.craft,
        bool(record.estimate),
        record.note,
    )
