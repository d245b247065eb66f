"""The mission flown forward, event by event, with one state."""

from __future__ import annotations

from mplan.flight import burn, steps, translunar
from mplan.flight.ascent import speed_to_gain
from mplan.flight.record import BurnRecord, Flight, Moment, Stretch
from mplan.flight.state import State
from mplan.scenario import Scenario
from mplan.vehicle import ledger, stack


def fly(scenario: Scenario) -> Flight:
    """Fly a scenario from lift-off to splash.

    Raises Unflyable when no trajectory exists for its dates and orbits, or an event asks for
    what is no longer there. A burn that its tanks cannot pay for does not stop the walk: its
    record says so, and a check finds it.
    """
    state = on_pad(scenario)
    burns: list[BurnRecord] = []
    moments: list[Moment] = []
    stretches: list[Stretch] = []
    for i, event in enumerate(scenario.events):
        before, ahead = state, scenario.events[i + 1 :]
        if event.do == "burn":
            steps.require(state, i, event.element)
            state, record = burn.fly(state, event, ahead)
            burns.append(record)
            moments.append(_ignition(record, before))
            if event.leg == "climb" and state.climb_left == 0.0:
                state = translunar.find_departure(state, ahead)
        else:
            state, moment = steps.take(state, i, event)
            moments.append(moment)
        stretches += lived(before, state)
    return Flight(
        scenario, tuple(burns), tuple(moments), tuple(stretches), state, steps.splash_of(state)
    )


def on_pad(scenario: Scenario) -> State:
    """Return the state before lift-off."""
    return State(
        scenario=scenario,
        ledger=ledger.filled(scenario),
        craft=(tuple(scenario.stack),),
        crew=stack.crew_on_pad(scenario),
        cargo=stack.cargo(scenario),
        climb_left=speed_to_gain(scenario),
    )


def lived(before: State, after: State) -> list[Stretch]:
    """Return where the crew lived between two states, and for how long."""
    passed = after.elapsed - before.elapsed
    return [Stretch(name, crew, passed) for name, crew in before.crew.items() if crew and passed]


def _ignition(record: BurnRecord, before: State) -> Moment:
    craft = before.joined(record.element)
    return Moment(
        record.name, "burn", record.elapsed, record.mass, craft, bool(record.estimate), record.note
    )
