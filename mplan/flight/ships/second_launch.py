"""The launch of a ship that is to meet another one in Earth orbit: when, and along which azimuth.

The ship that waits decides both: the launch site has to lie in its plane. Of the passes of the
launch day that the azimuth limits leave, the one that brings the ships together first is flown.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mplan.flight import launch, rendezvous
from mplan.flight.ships import joining
from mplan.flight.state import State
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.launch_passes import LaunchPass, Orbiting, launch_passes
from mplan.physics.rendezvous.lead import required_lead
from mplan.scenario import Event, Scenario
from mplan.scenario.events import has_burn

MEETING = "Earth-orbit rendezvous"
ON_TIME = 60.0  # s from a fixed clock time: the pass itself is flown, to the second
EDGE = 0.01 * c.DEG  # of the azimuth limits: the climb is flown along a first guess


def target_of(state: State, ahead: Sequence[Event]) -> Orbiting | None:
    """Return the ship in Earth orbit that the events ahead meet, None where they meet none."""
    if not has_burn(ahead, MEETING):
        return None
    name = joining.met_ahead(state, ahead)
    ship = state.waiting[name] if name else None
    if ship is None or ship.departing is None:
        raise Unflyable(("ships",), f"no ship waits in Earth orbit for the {MEETING}")
    return Orbiting(ship.outbound.parking, ship.lift_off)


def plane_azimuth(state: State, ahead: Sequence[Event]) -> float:
    """Return the azimuth [rad] of the plane to climb into, that of the waiting ship if one is met.

    After a usual climb, which the climb as flown moves by some seconds of lift-off.
    """
    target = target_of(state, ahead)
    if target is None:
        return launch.plane_azimuth(state.scenario)
    usual = launch.parking(state.scenario, launch.USUAL_CLIMB, launch.USUAL_DOWNRANGE, 0.0)
    return _best(state.scenario, usual, target).azimuth


def launched(state: State, ahead: Sequence[Event]) -> State:
    """Return the state after the climb with its launch known, if a ship is met in Earth orbit."""
    target = target_of(state, ahead)
    if target is None:
        return state
    climb = state.climb
    own = launch.parking(state.scenario, climb.duration, climb.angle, 0.0)
    return replace(state, second=_best(state.scenario, own, target))


def passes(scenario: Scenario, own: Parking, target: Orbiting) -> tuple[LaunchPass, ...]:
    """Return the launches of the day from `own.t` [TDB s] on, northward and southward.

    Unflyable where the site never comes into the target's plane, or nothing gains on it.
    """
    asked = rendezvous.terms_of(scenario.earth_rendezvous)
    high = target.parking.radius
    try:
        lead = required_lead(asked, own.radius, own.radius, high, c.MU_EARTH)
        return tuple(launch_passes(own, target, lead))
    except NoMeeting as problem:
        text = f"{problem}; accepted: planes and heights in which the ships can meet"
        raise Unflyable(("orbits", "parking_altitude"), text) from problem


def _best(scenario: Scenario, own: Parking, target: Orbiting) -> LaunchPass:
    found = passes(scenario, own, target)
    low, high = launch.plane_limits(scenario)
    allowed = [x for x in found if low - EDGE <= x.azimuth <= high + EDGE]
    later = [x for x in allowed if x.chaser.lift_off > target.insertion]
    if not allowed:
        place = scenario.launch_site
        along = " or ".join(f"{launch.over_ground(scenario, x.azimuth) / c.DEG:.1f}" for x in found)
        text = (
            f"found limits from {place.azimuth_min / c.DEG:g} deg to {place.azimuth_max / c.DEG:g} "
            f"deg; the plane of the ship to be met asks for {along} deg"
        )
        raise Unflyable(("launch_site", "azimuth_min"), text)
    if not later:
        day = utc_from_tdb(target.insertion)
        text = f"found {scenario.dates.launch_day}; accepted: after the ship to be met has reached "
        raise Unflyable(("dates", "launch_day"), f"{text}its orbit, {day:%Y-%m-%d %H:%M} UTC")
    return min(_on_time(scenario, later), key=lambda x: x.begins)


def _on_time(scenario: Scenario, found: Sequence[LaunchPass]) -> Sequence[LaunchPass]:
    """Return the passes of a fixed clock time, all of them where none is fixed."""
    clock = launch.lift_off(scenario)
    if clock is None:
        return found
    near = [x for x in found if abs(x.chaser.lift_off - clock) < ON_TIME]
    if not near:
        when = sorted(x.chaser.lift_off for x in found)
        times = (f"{utc_from_tdb(x):%Y-%m-%d %H:%M:%S}" for x in when)
        text = f"found {scenario.dates.launch_time:%H:%M:%S}; accepted: {' or '.join(times)} UTC, "
        text += "when the launch site lies in the plane of the ship to be met, or no clock time"
        raise Unflyable(("dates", "launch_time"), text)
    return near
