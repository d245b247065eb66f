"""The mission flown forward, event by event, with one state."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.flight import ascent, boil_off, burn, crossfeed, ended, sequence, steps, translunar
from mplan.flight.housekeeping import drawing
from mplan.flight.housekeeping import events as thrusters
from mplan.flight.living.drawn import drawn as lived
from mplan.flight.record import BurnRecord, Ended, Flight, Moment, Passage
from mplan.flight.state import NotYet, State
from mplan.flight.unflyable import Unflyable
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.scenario import Scenario
from mplan.vehicle import ledger, stack


def fly(scenario: Scenario, like: LaunchClimb | None = None) -> Flight:
    """Fly a scenario from lift-off to splash, its climb optimised or steered as another one.

    Raises Unflyable when no trajectory exists for its dates and orbits, or an event asks for
    what is no longer there. A burn that its tanks cannot pay for does not stop the walk: its
    record says so, and a check finds it. A climb that does not reach its orbit ends it.
    Where the order of events is at fault, nothing is flown.
    """
    start, wrong = on_pad(scenario, like), sequence.faults(scenario)
    if wrong:
        first = wrong[0]
        title = scenario.events[first.event].title
        return Flight(
            scenario, start, (), ended=Ended(first.text, title, first.event), faults=wrong
        )
    return fly_on(scenario, start)


def fly_on(scenario: Scenario, state: State, flown: Sequence[Passage] = ()) -> Flight:
    """Fly the events that follow those already `flown`, from the `state` after them."""
    passages = list(flown)
    start = passages[0].before if passages else state
    for index in range(len(passages), len(scenario.events)):
        passages.append(_passage(state, index))
        ended.require_sound(passages[-2:], index)
        state = passages[-1].after
        short = ended.short_of_orbit(passages)
        if short is not None:
            return Flight(scenario, start, tuple(passages), ended=short)
    return Flight(scenario, start, tuple(passages), splash=steps.splash_of(state))


def climb(scenario: Scenario) -> LaunchClimb:
    """Return the climb alone, which does not ask where the Moon is."""
    index = next(i for i, event in enumerate(scenario.events) if event.do == "burn")
    burns = scenario.events[index]
    assert burns.do == "burn"
    return ascent.fly_climb(on_pad(scenario), burns, scenario.events[index + 1 :])


def _passage(before: State, index: int) -> Passage:
    """Return one event as flown; Unflyable where it asks for what is not there yet."""
    event, ahead = before.scenario.events[index], before.scenario.events[index + 1 :]
    record = None
    try:
        if event.do == "burn":
            steps.require_in_flight(before, index, event.element)
            crossfeed.require_joined(before, index, event)
            after, record = burn.fly_burn(before, event, ahead)
            moment = _ignition(record)
        else:
            after, moment = steps.take(before, index, event)
        if after.departing is None and not after.climbing and after.climb.reached:
            after = translunar.find_departure(after, ahead)
    except NotYet as problem:
        raise Unflyable(("events", index), f"{event.title} comes too early: {problem}") from problem
    after = lived(boil_off.drawn(after), before, event)
    after = thrusters.after(before, event, after, record)
    return Passage(event, before, after, moment, record)


def on_pad(scenario: Scenario, like: LaunchClimb | None = None) -> State:
    """Return the state before lift-off."""
    return State(
        scenario=scenario,
        ledger=ledger.filled(scenario),
        craft=(tuple(scenario.stack),),
        crew=stack.crew_on_pad(scenario),
        cargo=stack.cargo(scenario),
        thrusters=drawing.nothing_yet(scenario),
        steered_as=like,
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
