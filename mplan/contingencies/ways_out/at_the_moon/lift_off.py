"""Lift-offs from the Moon each time the ship comes by, flown as the plan's own legs are.

One a revolution: the ascent leg waits for the ship to stand right, flies up and meets it. How far
the site has left the ship's plane by then, and what flying that out takes, is in each.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from mplan.flight.burn import fly_burn
from mplan.flight.record import BurnRecord, Flight, Passage
from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.scenario import BurnEvent, Event
from mplan.vehicle.same import Same

READY = 10.0 * c.MINUTE  # from the call to lift-off, all being inside (common practice, no source)
ASCENT, MEETING = "lunar ascent", "rendezvous"
MOST = 4  # revolutions looked at for one lift-off


class MoonLiftOff(NamedTuple):
    """A lift-off as flown: its burn, and that of the rendezvous where a ship waits.

    `risen` is the state in orbit, `docked` [s since lift-off from Earth] when the craft touch.
    """

    ascent: BurnRecord
    risen: State
    meeting: BurnRecord | None = None
    docked: float | None = None


class PlannedBurn(NamedTuple):
    """A burn of the plan, and the events after it."""

    burn: BurnEvent
    ahead: Sequence[Event]


def planned(flight: Flight, leg: str) -> PlannedBurn | None:
    """Return the burn of a leg as the plan has it, or None."""
    for i, each in enumerate(flight.passages):
        if each.burn is not None and each.burn.leg == leg:
            return PlannedBurn(each.burn_event, [x.event for x in flight.passages[i + 1 :]])
    return None


def next_lift_offs(flight: Flight, passage: Passage, ready: float, count: int) -> list[MoonLiftOff]:
    """Return the next lift-offs from `ready` on, one a revolution, [s since lift-off from Earth].

    Flown from the state as the event that is on began, so that they are the same for all that is
    called off within one revolution.
    """
    before = passage.before
    period = before.orbit.period
    turn = max(0, int((ready - before.elapsed) / period) - 1)
    found: list[MoonLiftOff] = []
    for later in range(turn, turn + count + MOST):
        each = lift_off(Same(flight), Same(passage), later)
        if each.ascent.elapsed >= ready and len(found) < count:
            found.append(each)
    return found


@lru_cache(maxsize=256)
def lift_off(of: Same[Flight], during: Same[Passage], turn: int) -> MoonLiftOff:
    """Return the first lift-off after `turn` revolutions of an event."""
    before = during.it.before
    return flown(of.it, standing(of.it, before).later(turn * before.orbit.period))


def standing(flight: Flight, state: State) -> State:
    """Return the state with what stays on the Moon left there."""
    burn = flight.burn_of(ASCENT)
    assert burn is not None
    return state.without(set(state.joined(burn.element)) - set(burn.craft))


def flown(flight: Flight, state: State) -> MoonLiftOff:
    """Return the ascent from a state on the ground, and the meeting that follows it."""
    rises, meets = planned(flight, ASCENT), planned(flight, MEETING)
    assert rises is not None
    risen, ascent = fly_burn(state, rises.burn, rises.ahead)
    if ascent.trouble or meets is None:
        return MoonLiftOff(ascent, risen)
    met, meeting = fly_burn(risen, meets.burn, meets.ahead)
    if meeting.trouble or met.rendezvous is None:
        return MoonLiftOff(ascent, risen, meeting)
    return MoonLiftOff(ascent, risen, meeting, met.rendezvous.meeting.docked - met.lift_off)
