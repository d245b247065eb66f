"""One burn: what its leg requires, what its tanks have available, and what it leaves."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from mplan.flight import (
    ascent,
    boil_off,
    crossfeed,
    descent,
    homeward,
    lunar_ascent,
    plane_change,
    rendezvous,
    settling,
    translunar,
)
from mplan.flight.arrival import capture
from mplan.flight.constrained import hybrid_arc
from mplan.flight.erring.flown_errors import AS_PLANNED, BurnError
from mplan.flight.housekeeping import drawing, events
from mplan.flight.living.drawn import drawn as lived
from mplan.flight.record import BEHIND, IN_CONTACT, BurnRecord
from mplan.flight.settling import Settling
from mplan.flight.ships import meeting, upkeep
from mplan.flight.state import Aimed, Apse, Need, State
from mplan.physics.bodies.sight import in_contact
from mplan.physics.burns import aimed_burn, finite_burn
from mplan.physics.constants import G0
from mplan.physics.rocket import burn_time, delta_v, propellant
from mplan.scenario import BurnEvent, Engine, Event
from mplan.scenario.events import SERIES
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import Ledger, main_engine, thrust, thrust_at_sea_level
from mplan.vehicle.same import Same

LEGS = {
    "climb": ascent.climb,
    "Earth-orbit rendezvous": meeting.earth_orbit,
    "translunar injection": translunar.translunar_injection,
    "outbound correction": translunar.outbound_correction,
    "hybrid transfer": hybrid_arc.transfer_burn,
    "lunar-orbit insertion": capture.insertion,
    "lunar-orbit plane change": plane_change.change,
    "lunar-orbit apolune change": capture.apolune_change,
    "lunar-orbit circularisation": capture.circularisation,
    "orbit upkeep": upkeep.restore,
    "lunar-orbit rendezvous": meeting.lunar_orbit,
    "descent-orbit insertion": descent.orbit_insertion,
    "powered descent": descent.powered,
    "lunar ascent": lunar_ascent.ascent,
    "rendezvous": rendezvous.rendezvous,
    "trans-Earth injection": homeward.return_injection,
    "homeward correction": homeward.homeward_correction,
}
SLIGHT = 0.05  # m/s: a loss is flown out to 0.02


def fly_burn(
    state: State, event: BurnEvent, ahead: Sequence[Event], error: BurnError = AS_PLANNED
) -> tuple[State, BurnRecord]:
    """Return the state after a burn, and its record; what its `error` costs is a loss.

    A burn that requires more than the tanks hold takes all they hold; the flight goes on as if
    it had got the rest, so that the whole budget can be read, and a finding says where it stops.
    """
    state = state.here()
    name, engine = main_engine(state.scenario.elements[event.element], event.engine)
    need, settled = _settled_need(state, event, engine, ahead, error)
    craft = need.at.joined(event.element)
    mass = need.at.mass(craft)
    usable = need.at.ledger.usable(event.element, engine)
    losses, trouble, uncounted = _losses(need, engine, mass)
    if error != AS_PLANNED:
        losses["execution"] = error.cost(need.impulse)
    asked = need.impulse + sum(losses.values())
    drawn = min(_drawn(need, engine, mass, asked), usable)
    duration = need.duration or burn_time(thrust(engine), engine.isp_vacuum, drawn)
    key = (event.element, name)
    reserved = state.reserved.get(key, 0.0) + _margin(need, event, asked)
    hold_down = max(0.0, -need.part.ignition) if need.part else 0.0
    after = evolved(
        need.then,
        boiled_to=need.at.boiled_to,
        thrusters=need.at.thrusters,
        ledger=_after_burn(need, event.element, name, engine, drawn, hold_down + duration),
        reserved={**state.reserved, key: reserved},
    )
    before = duration / 2.0 if need.apse else 0.0
    begin, end = need.at.later(-before), after.later(duration - before)
    gone = ascent.cast_off_during(end, event, ahead)
    record = BurnRecord(
        name=event.title,
        leg=event.leg,
        element=event.element,
        engine=name,
        elapsed=begin.elapsed,
        duration=duration,
        impulse=need.impulse,
        losses=losses,
        available=_available(need, engine, mass, usable, asked),
        reserved=reserved,
        propellant=drawn,
        usable=usable,
        start=after.ledger.starts[key] - need.starts + 1,
        starts=need.starts,
        burned=after.ledger.seconds[key],
        thrust_to_weight=_thrust(need, engine, begin.elapsed) / (mass * G0),
        mass=mass,
        estimate=need.estimate,
        note="; ".join(x for x in (need.note, uncounted) if x),
        trouble=trouble,
        contact=_contact(need),
        at_ignition=begin,
        at_cut_off=end.without(name for each in gone for name in each.elements),
        cast_off=gone,
        hold_down=hold_down,
        burns_out=event.leg == "climb" and need.then.climbing,
        settling=settled,
        boiled=need.at.ledger.boiled_off(event.element),
        elsewhere=crossfeed.elsewhere(need.at, event.element, engine),
    )
    return end, record


def _settled_need(
    state: State, event: BurnEvent, engine: Engine, ahead: Sequence[Event], error: BurnError
) -> tuple[Need, Settling | None]:
    """Return what a leg requires once the propellant is settled for it, and how that was done."""
    before = state
    state, settled = settling.settled_before(events.turned(state, event), event, engine)
    need = _need(state, event, ahead, error)
    if need.starts == 0:  # nothing is lit, so that nothing was settled for it
        return LEGS[event.leg](before, event, ahead), None
    at = lived(boil_off.drawn(need.at), state)  # while it waited
    at = drawing.coasted(at, named=event.control)
    if event.leg in SERIES and need.starts > 1:
        at = events.turned(at, event, need.starts - 1)
        if settled is not None:
            at, settled = settling.repeated(at, settled, need.starts)
    return evolved(need, at=at), settled


def _need(state: State, event: BurnEvent, ahead: Sequence[Event], error: BurnError) -> Need:
    """Return what a leg requires; of a correction with errors, what these ask for."""
    if error.correction is not None:
        return Need(error.correction, state, state)
    return LEGS[event.leg](state, event, ahead)


def _drawn(need: Need, engine: Engine, mass: float, asked: float) -> float:
    """Return the propellant that a burn requires [kg]."""
    return need.part.propellant if need.part else propellant(engine.isp_vacuum, mass, asked)


def _available(need: Need, engine: Engine, mass: float, usable: float, asked: float) -> float:
    """Return the velocity [m/s] available: in the climb, what was flown and what is left."""
    if need.part is None:
        return delta_v(engine.isp_vacuum, mass, mass - usable)
    end = need.part.end_mass
    return asked + delta_v(engine.isp_vacuum, end, end - need.part.left)


def _after_burn(
    need: Need, element: str, name: str, engine: Engine, drawn: float, running: float
) -> Ledger:
    """Return the ledger after a burn, and after what burned beside it."""
    after = need.at.ledger.after_burn(element, name, engine, drawn, running, need.starts)
    for other in need.beside:
        key, motor = main_engine(need.at.scenario.elements[other])
        spent = after.usable(other, motor)
        seconds = burn_time(thrust(motor), motor.isp_vacuum, spent)
        after = after.after_burn(other, key, motor, spent, seconds)
    return after


def _losses(need: Need, engine: Engine, mass: float) -> tuple[dict[str, float], str, str]:
    """Return the losses by cause [m/s], the finite burn's among them, what went wrong, and a note.

    A burn that spends less than its impulse shows that the impulse is not at the cheapest place,
    not that time is a gain: its loss has then no figure, and the note says so.
    """
    if need.apse is None:
        return dict(need.losses), need.trouble, ""
    try:
        burn = _flown_out(need.apse, need.impulse, engine, mass)
    except ArithmeticError as problem:
        return dict(need.losses), str(problem), ""
    if burn.loss < -SLIGHT:
        note = f"finite-burn loss not counted: flown out, the burn spends {-burn.loss:.1f} m/s less"
        note += " than the impulse, which is not at the cheapest place near it"
        return dict(need.losses), need.trouble, note
    return {**need.losses, "finite burn": burn.loss}, need.trouble, ""


def _flown_out(
    apse: Apse | Aimed, impulse: float, engine: Engine, mass: float
) -> finite_burn.FiniteBurn:
    if isinstance(apse, Aimed):
        return _aimed_out(Same(apse), thrust(engine), engine.isp_vacuum, mass)
    craft = {"thrust": thrust(engine), "isp": engine.isp_vacuum, "mass": mass}
    return finite_burn.fly_finite(
        apse.radius, apse.speed, impulse + apse.turned, apse.mu, **craft, arriving=apse.arriving
    )


@lru_cache(maxsize=64)
def _aimed_out(
    aimed: Same[Aimed], thrust: float, isp: float, mass: float
) -> finite_burn.FiniteBurn:
    """Return a burn out of the plane flown out, remembered by its inputs."""
    to = aimed.it
    return aimed_burn.fly_aimed(to.r, to.v, to.wanted, to.mu, thrust=thrust, isp=isp, mass=mass)


def _contact(need: Need) -> str:
    """Tell whether Earth is seen in the middle of a burn near the Moon."""
    if need.place is None:
        return ""
    return IN_CONTACT if in_contact(need.place, need.at.t) else BEHIND


def _margin(need: Need, event: BurnEvent, asked: float) -> float:
    """Return what the margin policy reserves for this burn [m/s]."""
    margins = need.at.scenario.margins
    if event.leg != "climb":
        return margins.burns.get(event.leg, margins.burn) * asked
    # The stages below burn out; the reserve of the whole climb rides on the one that ends it.
    then = need.then
    return 0.0 if then.climbing else margins.flight_performance_reserve * then.climb.ideal


def _thrust(need: Need, engine: Engine, elapsed: float) -> float:
    """Return the thrust [N] at ignition, of what burns beside it too; on the pad at sea level."""
    of = thrust_at_sea_level if elapsed == 0.0 else thrust
    bodies = need.at.scenario.elements
    return of(engine) + sum(of(main_engine(bodies[other])[1]) for other in need.beside)
