"""From the insertion orbit to the ship, flown burn by burn.

Where the ship stands at insertion decides whether the schedule fits: `lead` says how far ahead
it has to be. Crew safety rests on this leg: the figures are a planning study's, no flight
procedure and no flight approval.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from mplan.flight import lunar_orbit
from mplan.flight.record import BEHIND, IN_CONTACT
from mplan.flight.state import Need, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, OrbitKey, coast, key_of
from mplan.physics.bodies.sight import in_contact
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.lead import required_lead
from mplan.physics.rendezvous.meeting import Meeting, RendezvousBurn, meet
from mplan.physics.rendezvous.terms import Gate, Terms
from mplan.physics.rocket import burn_time, propellant
from mplan.physics.twobody import speed
from mplan.physics.vectors import cross, turned, unit
from mplan.scenario import BurnEvent, Engine, Event, Scenario, heights
from mplan.scenario.rendezvous import RendezvousSettings
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import main_engine, thrust
from mplan.vehicle.stack import required_with_role

PLANNED = "flown from the insertion orbit as planned, not from where the ascent ended"


class FineBurn(NamedTuple):
    """One burn of the rendezvous: SI units, `elapsed` [s] since lift-off, `engine` by name."""

    name: str
    elapsed: float
    delta_v: float
    duration: float
    propellant: float
    range: float  # m, to the ship
    elevation: float  # rad, of the ship over the horizon
    engine: str
    contact: str  # IN_CONTACT or BEHIND, as seen from Earth's centre


class Host(NamedTuple):
    """The ship while it waits: the element that would burn, its engine, mass and usable [kg]."""

    element: str
    engine: str
    mass: float
    usable: float


@dataclass(frozen=True)
class Rendezvous:
    """A rendezvous as flown.

    `misfit` says why the schedule does not fit the ship's place at insertion, "" where it does;
    the burns are then those of the ship at the place that the schedule requires. `phase` and
    `planned` [rad] are where the ship was ahead at insertion, and where it should have been.
    """

    meeting: Meeting
    burns: tuple[FineBurn, ...]
    element: str
    phase: float
    planned: float
    misfit: str
    host: Host
    circle: float  # radius [m] of the orbit in which the ship waits


def lead(scenario: Scenario, radius: float | None = None, asked: Terms | None = None) -> float:
    """Return the angle [rad] by which the ship is to be ahead at the ascent stage's insertion.

    On its circle of `radius` [m], for the scenario's own terms: both as planned, if not given.
    NoMeeting where the insertion orbit does not pass below the ship's.
    """
    circle = radius or lunar_orbit.radius(scenario)
    return required_lead(asked or terms(scenario), *heights.ascent_apsides(scenario), circle)


def terms(scenario: Scenario) -> Terms:
    """Return what the scenario asks of the rendezvous."""
    return terms_of(scenario.rendezvous)


def terms_of(plan: RendezvousSettings) -> Terms:
    """Return what is asked of a rendezvous."""
    gates = sorted((Gate(x.range, x.speed) for x in plan.braking_gates), reverse=True)
    return Terms(
        schedule=plan.schedule,
        revolutions=plan.revolutions,
        height=plan.height,
        elevation=plan.elevation,
        transfer=plan.transfer_angle,
        wait=plan.direct_time,
        coast=plan.coast_time,
        gates=tuple(gate for gate in gates if gate.range > plan.station_range),
        station=plan.station_range,
        docking=plan.docking_time,
    )


def rendezvous(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burns that bring the ascent stage from its insertion orbit to the ship."""
    try:
        planned = lead(state.scenario, lunar_orbit.circle(state))
        flown, misfit = _flown(state, planned)
    except NoMeeting as problem:
        return Need(0.0, state, state, trouble=str(problem))
    need = needed(state, burn, flown, state.scenario.rendezvous)
    record = Rendezvous(
        meeting=flown,
        burns=fine_burns(flown, state, burn),
        element=burn.element,
        phase=_phase(state, flown),
        planned=planned,
        misfit=misfit,
        host=_host(state),
        circle=lunar_orbit.circle(state),
    )
    then = evolved(need.then.with_lander(None), rendezvous=record)
    estimate = "" if state.lander and not misfit else PLANNED
    return evolved(need, then=then, estimate=estimate)


def needed(state: State, burn: BurnEvent, flown: Meeting, plan: RendezvousSettings) -> Need:
    """Return what a rendezvous as flown requires of the element that burns, from `state` on."""
    losses = {"braking": flown.braking_loss, "midcourse": plan.midcourse, "docking": plan.docking}
    if flown.plane:
        losses["plane"] = flown.plane
    _, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    duration = _burning(
        engine, state.mass(_craft(state, burn)), flown.impulse + sum(losses.values())
    )
    then = state.later(flown.duration - duration)
    return Need(flown.impulse, state, then, losses, duration=duration, starts=len(flown.steps))


def _flown(state: State, planned: float) -> tuple[Meeting, str]:
    """Return the rendezvous, and why it is not the one from where the ascent ended, if it is not.

    Without an ascent that reached its orbit there is only the planned one.
    """
    asked, misfit = terms(state.scenario), ""
    if state.lander:
        try:
            risen = coast(state.lander, state.t - state.lander.t)
            return _met(key_of(risen), key_of(state.orbit), asked), ""
        except NoMeeting as problem:
            misfit = str(problem)
    return meet(_as_planned(state, planned), state.orbit, asked), misfit


@lru_cache(maxsize=64)  # what changes later leaves it as it is
def _met(active: OrbitKey, target: OrbitKey, asked: Terms) -> Meeting:
    """Return the rendezvous of one orbit with another, remembered by its inputs."""
    return meet(active.orbit, target.orbit, asked)


def _as_planned(state: State, planned: float) -> LunarOrbit:
    """Return the insertion orbit, at perilune, with the ship ahead as planned."""
    low, high = heights.ascent_apsides(state.scenario)
    up = turned(unit(state.orbit.r), state.orbit.normal, -planned)
    fast = speed(low, (low + high) / 2.0, c.MU_MOON)
    return state.orbit._replace(t=state.t, r=low * up, v=fast * cross(state.orbit.normal, up))


def _phase(state: State, flown: Meeting) -> float:
    if state.lander is None:
        return flown.phase
    return replace(flown, active=coast(state.lander, state.t - state.lander.t)).phase


def _craft(state: State, burn: BurnEvent) -> tuple[str, ...]:
    return state.joined(burn.element)


def _burning(engine: Engine, mass: float, delta_v: float) -> float:
    """Return how long [s] an engine of an element burns for `delta_v` [m/s]."""
    drawn = propellant(engine.isp_vacuum, mass, delta_v)
    return burn_time(thrust(engine), engine.isp_vacuum, drawn)


def fine_burns(flown: Meeting, state: State, burn: BurnEvent) -> tuple[FineBurn, ...]:
    """Return the burns, each with what the ones before it have left of the mass."""
    name, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    return tuple(_fine(flown, state, name, engine, state.mass(_craft(state, burn))))


def _fine(
    flown: Meeting, state: State, name: str, engine: Engine, mass: float
) -> Iterator[FineBurn]:
    for step in flown.steps:
        drawn = propellant(engine.isp_vacuum, mass, step.size)
        yield FineBurn(
            name=step.name,
            elapsed=step.t - state.lift_off,
            delta_v=step.size,
            duration=burn_time(thrust(engine), engine.isp_vacuum, drawn),
            propellant=drawn,
            range=step.range,
            elevation=step.elevation,
            engine=name,
            contact=_contact(step),
        )
        mass -= drawn


def _contact(step: RendezvousBurn) -> str:
    """Tell whether Earth is seen at a burn near the Moon; nothing stands before it elsewhere."""
    if not isinstance(step.before, LunarOrbit):
        return ""
    return IN_CONTACT if in_contact(step.before.r, step.t) else BEHIND


def _host(state: State) -> Host:
    """Return the ship as it waits, as a rescue would begin."""
    element = required_with_role(state.scenario, "service module")
    name, engine = main_engine(state.scenario.elements[element])
    mass = state.mass(state.joined(element))
    return Host(element, name, mass, state.ledger.usable(element, engine))
