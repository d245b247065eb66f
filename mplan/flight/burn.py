"""One burn: what its leg needs, what its tanks hold, and what it leaves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mplan.flight import (
    ascent,
    descent,
    homeward,
    lunar_ascent,
    lunar_orbit,
    rendezvous,
    translunar,
)
from mplan.flight.record import BEHIND, IN_CONTACT, BurnRecord
from mplan.flight.state import Apse, Need, State
from mplan.physics import finite_burn
from mplan.physics.constants import G0
from mplan.physics.rocket import burn_time, delta_v, propellant
from mplan.physics.sight import in_contact
from mplan.scenario import Burn, Engine, Event
from mplan.vehicle.ledger import main_engine, thrust, thrust_at_sea_level

LEGS = {
    "climb": ascent.climb,
    "translunar injection": translunar.injection,
    "outbound correction": translunar.correction,
    "lunar-orbit insertion": lunar_orbit.insertion,
    "lunar-orbit circularisation": lunar_orbit.circularisation,
    "descent-orbit insertion": descent.orbit_insertion,
    "powered descent": descent.powered,
    "lunar ascent": lunar_ascent.ascent,
    "rendezvous": rendezvous.rendezvous,
    "trans-Earth injection": homeward.injection,
    "homeward correction": homeward.correction,
}


def fly(state: State, event: Burn, ahead: Sequence[Event]) -> tuple[State, BurnRecord]:
    """Return the state after a burn, and its record.

    A burn that asks for more than the tanks hold takes all they hold; the flight goes on as if
    it had got the rest, so that the whole budget can be read, and a finding says where it stops.
    """
    need = LEGS[event.leg](state, event, ahead)
    name, engine = main_engine(state.scenario.elements[event.element], event.engine)
    craft = need.at.joined(event.element)
    mass = need.at.mass(craft)
    usable = need.at.ledger.usable(event.element, engine)
    losses, trouble = _losses(need, engine, mass)
    asked = need.impulse + sum(losses.values())
    drawn = min(propellant(engine.isp_vacuum, mass, asked), usable)
    duration = burn_time(thrust(engine), engine.isp_vacuum, drawn)
    key = (event.element, name)
    held = state.held.get(key, 0.0) + _margin(need, event, asked)
    after = replace(
        need.then,
        ledger=need.at.ledger.after_burn(event.element, name, engine, drawn, duration),
        held={**state.held, key: held},
    )
    before = duration / 2.0 if need.apse else 0.0
    elapsed = need.at.elapsed - before
    record = BurnRecord(
        name=event.title,
        leg=event.leg,
        element=event.element,
        engine=name,
        elapsed=elapsed,
        duration=duration,
        impulse=need.impulse,
        losses=losses,
        available=delta_v(engine.isp_vacuum, mass, mass - usable),
        reserve=held,
        propellant=drawn,
        usable=usable,
        ignition=after.ledger.ignitions[key],
        burned=after.ledger.seconds[key],
        thrust_to_weight=_thrust(engine, elapsed) / (mass * G0),
        mass=mass,
        estimate=need.estimate,
        note=need.note,
        trouble=trouble,
        contact=_contact(need),
        burns_out=event.leg == "climb" and need.then.climb_left > 0.0,
    )
    return after.later(duration - before), record


def _losses(need: Need, engine: Engine, mass: float) -> tuple[dict[str, float], str]:
    """Return the losses by cause [m/s], the finite burn's among them, and what went wrong."""
    if need.apse is None:
        return dict(need.losses), need.trouble
    try:
        burn = _flown_out(need.apse, need.impulse, engine, mass)
    except ArithmeticError as problem:
        return dict(need.losses), str(problem)
    return {**need.losses, "finite burn": burn.loss}, need.trouble


def _flown_out(apse: Apse, impulse: float, engine: Engine, mass: float) -> finite_burn.Burn:
    return finite_burn.flown(
        apse.radius,
        apse.speed,
        impulse,
        apse.mu,
        thrust=thrust(engine),
        isp=engine.isp_vacuum,
        mass=mass,
        arriving=apse.arriving,
    )


def _contact(need: Need) -> str:
    """Tell whether Earth is seen in the middle of a burn near the Moon."""
    if need.place is None:
        return ""
    return IN_CONTACT if in_contact(need.place, need.at.t) else BEHIND


def _margin(need: Need, event: Burn, asked: float) -> float:
    """Return what the margin policy holds back for this burn [m/s]."""
    margins = need.at.scenario.margins
    if event.leg != "climb":
        return margins.burns.get(event.leg, margins.burn) * asked
    # The stages below burn out; the reserve of the whole climb rides on the one that ends it.
    ends_climb = need.then.climb_left == 0.0
    whole = ascent.speed_to_gain(need.at.scenario)
    return margins.flight_performance_reserve * whole if ends_climb else 0.0


def _thrust(engine: Engine, elapsed: float) -> float:
    return thrust_at_sea_level(engine) if elapsed == 0.0 else thrust(engine)
