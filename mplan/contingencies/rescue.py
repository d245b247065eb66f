"""The ship rescues an ascent stage that cannot climb further, and returns to its orbit.

The ship flies the same kind of rendezvous from above and ahead; what it meets stays where its
last burn left it. The crew cross over, the ascent stage is left, two burns lead back to the
circle. All of it is flown on the ship's main engine; braking would take thrusters.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from mplan.flight.record import BurnRecord, Flight
from mplan.flight.rendezvous import Rendezvous
from mplan.physics import constants as c
from mplan.physics.arcs.orbit import Orbit, apsides
from mplan.physics.rendezvous.impulses import NoMeeting, when_seen
from mplan.physics.rendezvous.meeting import TERMINAL, Meeting, meet
from mplan.physics.rendezvous.relative import orbit_at
from mplan.physics.rendezvous.terms import Terms
from mplan.physics.rocket import delta_v, propellant
from mplan.physics.twobody import Transfer, circular_speed, period, speed
from mplan.scenario import Engine
from mplan.vehicle.ledger import shares

AFTER_INSERTION = "after insertion"
WITHIN = 2.0  # revolutions in which the ship sets out straight for the ascent stage


class Stranded(NamedTuple):
    """An ascent stage that burns no more: after which burn, and both orbits then."""

    when: str
    lander: Orbit
    ship: Orbit


@dataclass(frozen=True)
class Rescue:
    """One rescue, flown; SI units.

    `meeting` has the ship as its active craft; `back` are the burns to its circle again. `left`
    [m/s] is there after all that the ship flies later, negative is what it lacks; `reserved`
    [m/s] is what the margin policy would hold back of it.
    """

    stranded: Stranded
    meeting: Meeting
    back: Transfer
    propellant: float
    left: float
    reserved: float

    @property
    def total(self) -> float:
        """What the ship burns, there and back [m/s]."""
        return self.meeting.total + self.back.total


def strandings(flown: Rendezvous) -> Iterator[Stranded]:
    """Yield each state in which the ascent stage can be left before its terminal phase."""
    meeting = flown.meeting
    yield Stranded(AFTER_INSERTION, meeting.active, meeting.target)
    for step in meeting.steps:
        if step.name == TERMINAL:
            return
        yield Stranded(f"after the {step.name}", step.after, orbit_at(meeting.target, step.t))


def every(flight: Flight) -> list[Rescue]:
    """Return the rescues there are, place by place; none where a mission has no rendezvous."""
    flown = flight.end.rendezvous
    if flown is None:
        return []
    return [found for place in strandings(flown) for found in rescues(flight, place)]


def rescues(flight: Flight, stranded: Stranded) -> Iterator[Rescue]:
    """Yield the rescues from one place: straight there, and coelliptic by one turn or two."""
    asked = flown_rendezvous(flight).meeting.terms.from_above()
    plans = [asked._replace(schedule="coelliptic", revolutions=turns) for turns in (1, 2)]
    for plan in (_straight(stranded, asked), *plans):
        if plan is not None:
            rescue = _by(flight, stranded, plan)
            if rescue is not None:
                yield rescue


def flown_rendezvous(flight: Flight) -> Rendezvous:
    """Return the rendezvous of a flight; LookupError where none was flown."""
    if flight.end.rendezvous is None:
        raise LookupError("this flight flew no rendezvous")
    return flight.end.rendezvous


def adequate(flight: Flight, stranded: Stranded) -> Rescue | None:
    """Return the first rescue that draws on no reserve, else the one that leaves the ship most.

    None where there is none. Once one is good enough no other is flown.
    """
    found = []
    for each in rescues(flight, stranded):
        if each.left >= max(0.0, each.reserved):
            return each
        found.append(each)
    return max(found, key=lambda each: each.left, default=None)


def _straight(stranded: Stranded, asked: Terms) -> Terms | None:
    """Return the terms of setting out as soon as the line of sight stands right."""
    longest = WITHIN * stranded.ship.period
    try:
        t = when_seen(stranded.ship, stranded.lander, asked.elevation, longest)
    except NoMeeting:
        return None
    return asked._replace(schedule="direct", wait=t - stranded.ship.t)


def _by(flight: Flight, stranded: Stranded, terms: Terms) -> Rescue | None:
    try:
        meeting = meet(stranded.ship, stranded.lander, terms)
    except NoMeeting:
        return None
    plan, back = flight.scenario.rendezvous, raising(stranded.lander, stranded.ship)
    there = meeting.total + plan.midcourse + plan.docking
    drawn, left = _spent(flight, there, back.total)
    return Rescue(stranded, meeting, back, drawn, left, _reserved(flight))


def raising(lander: Orbit, ship: Orbit) -> Transfer:
    """Return the two burns from the apolune of one orbit to another that is a circle."""
    low, high = apsides(lander)
    circle = float(np.linalg.norm(ship.r))
    a = (high + circle) / 2.0
    burns = (
        speed(high, a, c.MU_MOON) - speed(high, (low + high) / 2.0, c.MU_MOON),
        circular_speed(circle, c.MU_MOON) - speed(circle, a, c.MU_MOON),
    )
    return Transfer(burns, period(a, c.MU_MOON) / 2.0)


def _spent(flight: Flight, there: float, back: float) -> tuple[float, float]:
    """Return the propellant [kg] there and back, and what is left [m/s] of all later burns."""
    host, mission = flown_rendezvous(flight).host, flight.scenario.mission
    engine = flight.scenario.elements[host.element].engines[host.engine]
    isp = engine.isp_vacuum
    down = propellant(isp, host.mass, there)
    joined = host.mass - down + mission.landing_crew * mission.crew_mass + mission.payload_up
    drawn = down + propellant(isp, joined, back)
    mass = joined - (drawn - down)
    usable = host.usable - drawn
    for burn in _later(flight):
        settling, feeds = _settling(flight, burn, engine)
        mass, usable = mass - settling, usable - (settling if feeds else 0.0)
        spent = propellant(isp, mass, burn.required)
        mass, usable = mass - spent, usable - spent
    return drawn, delta_v(isp, mass, mass - usable)


def _settling(flight: Flight, burn: BurnRecord, engine: Engine) -> tuple[float, bool]:
    """Return what settles an engine for a burn [kg], and whether that comes from its own tanks."""
    by = burn.settling
    if by is None or not by.element:
        return 0.0, False
    thrusters = flight.scenario.elements[by.element].engines[by.engine]
    feeds = by.element == burn.element and not shares(engine).keys().isdisjoint(shares(thrusters))
    return by.propellant, feeds


def _later(flight: Flight) -> list[BurnRecord]:
    """Return what the ship's engine still has to do after the rendezvous."""
    rendezvous = flown_rendezvous(flight)
    ours = rendezvous.host.element, rendezvous.host.engine
    docked = rendezvous.meeting.docked - flight.end.lift_off
    return [x for x in flight.burns if (x.element, x.engine) == ours and x.elapsed > docked]


def _reserved(flight: Flight) -> float:
    later = _later(flight)
    return later[-1].reserved if later else 0.0


def undisturbed(flight: Flight) -> float:
    """Return what the ship's engine has left [m/s] when nobody has to be rescued."""
    return _spent(flight, 0.0, 0.0)[1]
