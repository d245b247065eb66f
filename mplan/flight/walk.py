"""The mission flown forward, event by event, with one state."""

from __future__ import annotations

from mplan.flight import boil_off, burn, crossfeed, steps, translunar
from mplan.flight.record import BurnRecord, Flight, Moment, Passage, Stretch
from mplan.flight.state import State
from mplan.physics.climb.flight import Climb
from mplan.scenario import Scenario
from mplan.vehicle import ledger, stack


def fly(scenario: Scenario, like: Climb | None = None) -> Flight:
    """Fly a scenario from lift-off to splash, its climb steered for the best or as another one.

    Raises Unflyable when no trajectory exists for its dates and orbits, or an event asks for
    what is no longer there. A burn that its tanks cannot pay for does not stop the walk: its
    record says so, and a check finds it.
    """
    state = on_pad(scenario, like)
    passages: list[Passage] = []
    stretches: list[Stretch] = []
    for i, event in enumerate(scenario.events):
        before, ahead = state, scenario.events[i + 1 :]
        if event.do == "burn":
            steps.require(state, i, event.element)
            crossfeed.require(state, i, event)
            state, record = burn.fly_burn(state, event, ahead)
            moment = _ignition(record, before)
            if event.leg == "climb" and not state.climbing:
                state = translunar.find_departure(state, ahead)
        else:
            state, moment = steps.take(state, i, event)
            record = None
        stretches += lived(before, state)
        state = boil_off.drawn(state)
        passages.append(Passage(event, before, state, moment, record))
    return Flight(scenario, tuple(passages), tuple(stretches), state, steps.splash_of(state))


def on_pad(scenario: Scenario, like: Climb | None = None) -> State:
    """Return the state before lift-off."""
    return State(
        scenario=scenario,
        ledger=ledger.filled(scenario),
        craft=(tuple(scenario.stack),),
        crew=stack.crew_on_pad(scenario),
        cargo=stack.cargo(scenario),
        climb_like=like,
    )


def lived(before: State, after: State) -> list[Stretch]:
    """Return where the crew lived between two states, and for how long."""
    passed = after.elapsed - before.elapsed
    around = before.orbit and not before.homeward
    radius = before.orbit.a if around else None
    return [
        Stretch(name, crew, passed, before.joined(name), radius)
        for name, crew in before.crew.items()
        if crew and passed
    ]


def _ignition(record: BurnRecord, before: State) -> Moment:
    craft = before.joined(record.element)
    return Moment(
        record.name, "burn", record.elapsed, record.mass, craft, bool(record.estimate), record.note
    )
