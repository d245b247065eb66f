"""A ship goes to one that waits, in Earth orbit or about the Moon, and brings itself alongside.

First it goes round below the other until the phase is right, then the rendezvous is flown burn by
burn. The docking that follows joins the two. Crew safety rests on these legs: the figures are a
planning study's, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile
from math import ceil, pi

import numpy as np

from mplan.flight import rendezvous
from mplan.flight.ships import joining
from mplan.flight.state import Need, State, existing
from mplan.flight.unflyable import Unflyable
from mplan.physics.arcs.lunar_orbit import ROUND, LunarOrbit, coast, lunar_apsides
from mplan.physics.constants import HOUR, R_MOON
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.lead import required_lead
from mplan.physics.rendezvous.meeting import Meeting, meet
from mplan.physics.rendezvous.phasing import still_to_wait, wait_for
from mplan.physics.rendezvous.terms import Terms
from mplan.scenario import BurnEvent, Event
from mplan.scenario.rendezvous import RendezvousSettings

NEAR = 60.0  # s: the rendezvous takes up what is left
DEPARTURE = "translunar injection"  # the leg
LOOKS = 4  # at the phase, while the field changes both orbits


def earth_orbit(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burns that lead to the ship that waits in Earth orbit."""
    second = existing(state.second, "a launch to meet a ship")
    name = existing(joining.met_ahead(state, ahead), "a ship to be met")
    plan = state.scenario.earth_rendezvous
    at = replace(state.until(second.begins), alongside=name)
    ours, theirs = (each.at(second.begins) for each in (second.chaser, second.target))
    try:
        flown = meet(ours, theirs, rendezvous.terms_of(plan))
    except NoMeeting as problem:
        return Need(0.0, at, at, trouble=str(problem))
    need = _need(at, burn, flown, plan)
    _refuse_too_late(need.then, name, ahead)
    return need


def _refuse_too_late(met: State, name: str, ahead: Sequence[Event]) -> None:
    """Raise Unflyable where the burn for the Moon is due before the ships are ready for it.

    They are once they have met and what the events put before the burn is done.
    """
    ship = met.waiting[name]
    if ship.departing is None:
        return
    late = met.t + before_departure(ahead) - ship.outbound.injection
    if late <= 0.0:
        return
    found = ship.scenario.orbits.parking_revolutions
    more = ceil(late / (2.0 * pi / ship.outbound.parking.rate)) + 1
    raise Unflyable(
        ("ships", name, "orbits", "parking_revolutions"),
        f"found {found}, after which the burn for the Moon is due {late / HOUR:.1f} h before the "
        f"ships have met and are ready for it; accepted: {found + more} or more, or an earlier "
        "meeting",
    )


def before_departure(ahead: Sequence[Event]) -> float:
    """Return how long [s] the events that come before the burn for the Moon are stated to take."""
    before = takewhile(lambda event: getattr(event, "leg", None) != DEPARTURE, ahead)
    return sum(getattr(event, "duration", None) or 0.0 for event in before)


def lunar_orbit(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burns that lead to the ship that waits in lunar orbit.

    The ship goes on round the Moon until the phase is right: at most ten days.
    """
    name = joining.met_ahead(state, ahead)
    waiting = state.waiting[name] if name else None
    if name is None or waiting is None or waiting.moon is None:
        raise Unflyable(("ships",), "no ship waits in lunar orbit for this rendezvous")
    joining.require_there(state, name)
    _require_circle(name, waiting.orbit)
    plan, at = state.scenario.rendezvous, replace(state, alongside=name)
    asked = rendezvous.terms_of(plan)
    target = coast(waiting.orbit, at.t - waiting.t)
    try:
        wait = wait_for(at.orbit, target, _lead(at, target, asked))
        for _ in range(LOOKS):
            at, target = at.later(wait), coast(target, wait)
            wait = still_to_wait(at.orbit, target, _lead(at, target, asked))
            if abs(wait) < NEAR or at.t + wait < state.t:
                break
        flown = meet(at.orbit, target, asked)
    except NoMeeting as problem:
        return Need(0.0, at, at, trouble=str(problem))
    need = _need(at, burn, flown, plan)
    end = coast(target, need.then.t - target.t)
    return replace(need, then=need.then.on_orbit(end))


def _require_circle(name: str, orbit: LunarOrbit) -> None:
    """Raise Unflyable where a ship to be met waits in an ellipse."""
    if orbit.e < ROUND:
        return
    found = lunar_apsides(orbit)
    low, high = ((x - R_MOON) / 1e3 for x in (found.perilune, found.apolune))
    raise Unflyable(
        ("ships", name, "orbits", "lunar_apolune"),
        f"found an ellipse of {low:,.0f} by {high:,.0f} km; accepted: left out, as a rendezvous at "
        "the Moon is flown from one circle to another",
    )


def _lead(at: State, target: LunarOrbit, asked: Terms) -> float:
    return required_lead(asked, at.orbit.a, at.orbit.a, float(np.linalg.norm(target.r)))


def _need(at: State, burn: BurnEvent, flown: Meeting, plan: RendezvousSettings) -> Need:
    need = rendezvous.needed(at, burn, flown, plan)
    fine = rendezvous.fine_burns(flown, at, burn)
    return replace(need, then=replace(need.then, met=(*need.then.met, (flown, fine))))
