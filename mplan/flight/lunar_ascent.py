"""Off the Moon into the insertion orbit, flown, lifting off when the ship stands right for it.

Where no rendezvous follows, nothing waits in orbit: the craft lifts off when the stay is over, into
the plane through the site nearest to the one it came down in, and that orbit is then its own.

The angle by which the site has left the ship's plane is flown out, or left to the rendezvous, as
the scenario has it; the note says how much there is, either way.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from mplan.flight import lunar_orbit
from mplan.flight.descent import site
from mplan.flight.rendezvous import lead
from mplan.flight.state import Need, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import until_over
from mplan.physics.bodies import lunar_axes
from mplan.physics.bodies.lunar_axes import Axes
from mplan.physics.burns.linear_tangent import SteadyThrust, local_state
from mplan.physics.landing.ascent import AscentFlight, InsertionTarget, fly_ascent
from mplan.physics.twobody import plane_change, speed
from mplan.scenario import BurnEvent, Event, Scenario, heights
from mplan.scenario.events import has_burn
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import main_engine, thrust

ALONE = "no ship waits in orbit: lift-off when the stay is over"


def ascent(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the ascent to the perilune of the insertion orbit."""
    meets = has_burn(ahead, "rendezvous")
    at = state.later(wait(state, push(state, burn))) if meets else state
    place, insertion = site(at), aimed(state.scenario)
    note = _note(at) if meets else ALONE
    axes = plane(at) if meets else lunar_axes.site_axes(place, at.orbit.normal, at.t)
    try:
        flown = fly_lunar_ascent(at, axes, push(at, burn))
    except ArithmeticError as problem:
        then = evolved(at, landed="")
        return Need(insertion.speed, at, then, note=note, place=place, trouble=str(problem))
    r, v = axes.icrf(flown.end)
    inserted = at.orbit._replace(t=at.t + flown.duration, r=r, v=v)
    risen = at.with_lander(inserted) if meets else at.on_orbit(inserted)
    then = evolved(risen, lunar_ascent=flown, landed="")
    return Need(insertion.speed, at, then, flown.losses, note=note, place=place)


def fly_lunar_ascent(state: State, axes: Axes, push: SteadyThrust) -> AscentFlight:
    """Return the ascent from the site now into the plane of `axes`.

    ArithmeticError where the thrust does not bring it there.
    """
    scenario = state.scenario
    rise = scenario.lunar_ascent.vertical_rise_time
    return fly_ascent(axes.standing(site(state)), push, rise, aimed(scenario))


def wait(state: State, push: SteadyThrust) -> float:
    """Return the time [s] to the next lift-off.

    A stated time before or after the ship's pass over the site; else such that at insertion the
    ship is as far ahead as the rendezvous requires.
    """
    ahead, total = _ahead(state, push), 0.0
    for step in range(3):  # site and orbit turn meanwhile, and a ship on no circle keeps no pace
        at = state.later(total)
        off, period = until_over(at.orbit, site(at), lead=-ahead), at.orbit.period
        total += off - period if step and off > period / 2.0 else off
    return max(0.0, total)


def _ahead(state: State, push: SteadyThrust) -> float:
    """Return how far past the site [rad] the ship is to be at lift-off."""
    rate, after = 2.0 * pi / state.orbit.period, state.scenario.lunar_ascent.after_pass
    if after is not None:
        return rate * after
    over = state.later(until_over(state.orbit, site(state)))
    try:
        flown = fly_lunar_ascent(over, plane(over), push)
        ahead = lead(state.scenario, lunar_orbit.circle(state))
        return ahead + local_state(flown.end).angle - rate * flown.duration
    except ArithmeticError:
        return 0.0  # the ascent, or the rendezvous, tells what is wrong


def plane(state: State) -> Axes:
    """Return the axes of the plane that an ascent from the site now is to end in."""
    normal, place = state.orbit.normal, site(state)
    if state.scenario.lunar_ascent.plane == "flown out":
        return lunar_axes.plane_axes(place, normal, state.t)
    return lunar_axes.site_axes(place, normal, state.t)


def aimed(scenario: Scenario) -> InsertionTarget:
    """Return radius and speed at the perilune of the insertion orbit."""
    low, high = heights.ascent_apsides(scenario)
    return InsertionTarget(low, speed(low, (low + high) / 2.0, c.MU_MOON))


def push(state: State, burn: BurnEvent) -> SteadyThrust:
    """Return the thrust and mass that a burn of the ascent begins with."""
    _, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    return SteadyThrust(thrust(engine), engine.isp_vacuum, state.mass(state.joined(burn.element)))


def _note(state: State) -> str:
    """Return how far the site has left the ship's plane, and what is done about it."""
    off = abs(state.orbit.angle_off(site(state)))
    apart = f"the site lies {off / c.DEG:.2f} deg off the ship's plane"
    if state.scenario.lunar_ascent.plane == "flown out":
        return f"{apart}, flown out"
    turn = plane_change(aimed(state.scenario).speed, off)
    return f"{apart}, left to the rendezvous: a turn of {turn:.0f} m/s at once"
