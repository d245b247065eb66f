"""When a second launch can follow the first one into Earth orbit, and what waiting costs.

Twice a day the launch site passes through the plane of the ship that waits. Each pass is flown to
contact; meanwhile the ship that waits boils off.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import pi

from mplan.flight import boil_off, launch, rendezvous
from mplan.flight.ships import meeting
from mplan.flight.ships.second_launch import MEETING
from mplan.flight.state import State
from mplan.physics.rendezvous.daily_passes import daily_passes
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.launch_delay import DelayedLaunch, flown_after
from mplan.physics.rendezvous.launch_passes import LaunchPass
from mplan.physics.rendezvous.terms import Terms
from mplan.plan import Plan
from mplan.scenario import BurnEvent, Event


@dataclass(frozen=True)
class FlownPass:
    """A lift-off [TDB s] into the plane of the ship that waits, flown to contact.

    `launch_azimuth` [rad] over ground, `allowed` by the limits of the site. `phase` [rad]: by how
    much the ship is ahead at insertion, 0..2 pi. `duration` [s] from lift-off to contact, of which
    `waited` goes by until the rendezvous can begin, in `revolutions`. `ready` [s] from lift-off
    until docked, and all done that the events put between contact and the burn for the Moon.
    `boiled` [kg] by element of the ship that waits alone, from its own lift-off to contact.
    """

    lift_off: float
    northward: bool
    launch_azimuth: float
    allowed: bool
    phase: float
    waited: float
    revolutions: float
    duration: float
    ready: float
    delta_v: float
    boiled: Mapping[str, float]


def passes(plan: Plan, days: int = 10) -> tuple[FlownPass, ...]:
    """Return the passes of the days after the first ship's insertion, in order of lift-off.

    ValueError where the plan launches nothing to meet a ship in Earth orbit.
    """
    second, ship = _launched(plan)
    found = daily_passes(second.chaser.parking, second.target, _terms(plan), days)
    return tuple(_flown(plan, each, ship) for each in found)


def delays(plan: Plan, seconds: Sequence[float]) -> tuple[DelayedLaunch, ...]:
    """Return what the planned launch becomes when it is late by each of `seconds`, or early.

    Those from which no rendezvous comes about are left out. ValueError as in `passes`.
    """
    second, _ = _launched(plan)
    return tuple(x for each in seconds for x in _delayed(second, _terms(plan), each))


def _delayed(second: LaunchPass, terms: Terms, delay: float) -> Iterator[DelayedLaunch]:
    try:
        yield flown_after(second, terms, delay)
    except NoMeeting:
        return


def _launched(plan: Plan) -> tuple[LaunchPass, State]:
    """Return the launch of the plan that meets a ship in Earth orbit, and that ship as left."""
    second = plan.flight.end.second
    if second is None:
        raise ValueError("the plan launches nothing to meet a ship in Earth orbit")
    ships = (each.end for each in plan.flight.others.values())
    return second, next(
        ship
        for ship in ships
        if ship.departing is not None
        and ship.outbound.parking == second.target.parking
        and ship.lift_off == second.target.lift_off
    )


def _terms(plan: Plan) -> Terms:
    return rendezvous.terms_of(plan.scenario.earth_rendezvous)


def _flown(plan: Plan, each: LaunchPass, ship: State) -> FlownPass:
    flown = flown_after(each, _terms(plan), 0.0)
    low, high = launch.plane_limits(plan.scenario)
    lift_off = each.chaser.lift_off
    return FlownPass(
        lift_off=lift_off,
        northward=each.northward,
        launch_azimuth=each.chaser.parking.site.launch_azimuth,
        allowed=low <= each.azimuth <= high,
        phase=each.phase % (2.0 * pi),
        waited=each.wait,
        revolutions=each.wait * each.chaser.parking.rate / (2.0 * pi),
        duration=flown.duration,
        ready=flown.duration + meeting.before_departure(_after_contact(plan)),
        delta_v=flown.delta_v,
        boiled=_boiled(ship, lift_off + flown.duration),
    )


def _after_contact(plan: Plan) -> Sequence[Event]:
    """Return the events of the ship that comes, from its rendezvous on."""
    events = plan.scenario.events
    at = next(i for i, x in enumerate(events) if isinstance(x, BurnEvent) and x.leg == MEETING)
    return events[at + 1 :]


def _boiled(ship: State, t: float) -> dict[str, float]:
    """Return what the elements of the waiting ship have lost by `t` [TDB s], kg."""
    lost: dict[str, float] = {}
    for (element, _), mass in boil_off.drawn(ship.until(t)).ledger.boiled.items():
        if ship.joined(element):
            lost[element] = lost.get(element, 0.0) + mass
    return lost
