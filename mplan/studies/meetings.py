"""What each schedule of a rendezvous would cost, were the ship where that schedule requires it.

The insertion is the plan's own; the ship is moved along its orbit, as a lift-off earlier or later
would do.
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from mplan.flight.record import BEHIND, IN_CONTACT
from mplan.flight.rendezvous import Rendezvous, lead
from mplan.physics.bodies.sight import in_contact
from mplan.physics.constants import MU_MOON
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.meeting import meet
from mplan.physics.rendezvous.relative import orbit_at
from mplan.physics.rendezvous.terms import Schedule
from mplan.physics.rocket import propellant
from mplan.plan import Plan

SCHEDULES: tuple[tuple[Schedule, int], ...] = (
    ("direct", 1),
    ("coelliptic", 1),
    ("coelliptic", 2),
    ("coelliptic", 3),
)


class ScheduleOption(NamedTuple):
    """One schedule: SI units.

    `lead` [rad] the ship is to be ahead at insertion, `later` [s] the lift-off would be against
    the plan's, to a per cent; `total` [m/s] all burns with what is allowed for midcourse and
    docking; `duration` [s] from insertion to contact; `sight` of Earth as the terminal phase
    begins.
    """

    schedule: Schedule
    revolutions: int
    lead: float
    later: float
    total: float
    duration: float
    propellant: float
    lowest: float
    sight: str


def schedule_options(plan: Plan) -> list[ScheduleOption]:
    """Return the schedules that can be flown, none where a mission has no rendezvous."""
    flown = plan.flight.end.rendezvous
    if flown is None:
        return []
    found = (_option(plan, flown, *schedule) for schedule in SCHEDULES)
    return [option for option in found if option is not None]


def _option(plan: Plan, flown: Rendezvous, schedule: Schedule, turns: int) -> ScheduleOption | None:
    terms = flown.meeting.terms._replace(schedule=schedule, revolutions=turns)
    active, ship = flown.meeting.active, flown.meeting.target
    rate = sqrt(MU_MOON / ship.a**3)
    try:
        ahead = lead(plan.scenario, flown.circle, terms)
        moved = orbit_at(ship, ship.t + (ahead - flown.meeting.phase) / rate)
        meeting = meet(active, moved._replace(t=active.t), terms)
    except NoMeeting:
        return None
    allowed = plan.scenario.rendezvous
    total = meeting.total + allowed.midcourse + allowed.docking
    start = meeting.terminal
    return ScheduleOption(
        schedule=schedule,
        revolutions=turns,
        lead=ahead,
        later=(ahead - flown.phase) / rate,
        total=total,
        duration=meeting.duration,
        propellant=_propellant(plan, total),
        lowest=meeting.lowest,
        sight=IN_CONTACT if in_contact(start.before.r, start.t) else BEHIND,
    )


def _propellant(plan: Plan, total: float) -> float:
    burn = next(burn for burn in plan.burns if burn.leg == "rendezvous")
    engine = plan.scenario.elements[burn.element].engines[burn.engine]
    return propellant(engine.isp_vacuum, burn.mass, total)
