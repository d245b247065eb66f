"""Out of lunar orbit and home: an integrated arc to the entry interface."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from functools import lru_cache

from mplan.flight import midcourse
from mplan.flight.entry import aimed_range
from mplan.flight.erring.planned_return import target_return_as
from mplan.flight.state import Aimed, Need, State
from mplan.flight.unflyable import Unflyable, nearest, other_times
from mplan.physics import constants as c
from mplan.physics.arcs import homeward, recovery
from mplan.physics.arcs.bplane import asymptote
from mplan.physics.arcs.lunar_orbit import OrbitKey, key_of
from mplan.physics.burns.aimed_burn import velocity_along_asymptote
from mplan.physics.vectors import cross, inner
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.stated import stated
from mplan.vehicle.evolved import evolved
from mplan.vehicle.same import Same

SLACK = 0.5  # of a recovery area's radius, within which the plane stays the cheapest


def return_injection(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the return burn, at the best place of the next revolution.

    Raises Unflyable where no arc leads home.
    """
    flown = _target(state)
    at = state.until(flown.t)
    then = evolved(at, moon=None, homeward=flown, corrected=())
    note, apse = _tilt_cost(flown), departure(Same(flown))
    return Need(flown.delta_v, at, then, apse=apse, place=flown.leaving.r, note=note)


@lru_cache(maxsize=64)  # so that a burn of the same way home is flown out as one and the same
def departure(flown: Same[homeward.Homeward]) -> Aimed:
    """Return how the return burn is flown out: until it leaves the Moon along its asymptote."""
    here = flown.it.leaving
    v = here.v + flown.it.burn
    back = asymptote(here.r, -v, c.MU_MOON)  # seen backwards in time
    long_way = inner(cross(here.r, v), cross(here.r, -back.s)) < 0.0
    wanted = velocity_along_asymptote(-back.s, back.v_inf, c.MU_MOON, long_way=long_way)
    return Aimed(here.r, here.v, wanted, c.MU_MOON)


def _tilt_cost(flown: homeward.Homeward) -> str:
    """Return what the tilt adds to the cheapest return of the same time of flight, in words."""
    if flown.least is None:
        return ""
    added = flown.delta_v - flown.least
    more = f"{added:.0f} m/s more than" if added >= 0.5 else "no more than"
    return f"plane tilted for the splash's latitude: {more} in the cheapest plane"


def _target(state: State) -> homeward.Homeward:
    duration = stated(state.scenario.dates.transearth_time, "dates.transearth_time")
    try:
        return _home_in(state, duration)
    except ArithmeticError as problem:
        other = nearest(other_times(duration), lambda each: _home_in(state, each))
        near = f"{other / c.HOUR:g} h is the nearest that flies" if other else "another day"
        text = f"found {duration / c.HOUR:g} h, for which no arc home was found; accepted: {near}"
        raise Unflyable(("dates", "transearth_time"), text) from problem


def _home_in(state: State, duration: float) -> homeward.Homeward:
    """Return the way home in a time of flight [s]; ArithmeticError where there is none."""
    scenario = state.scenario
    area = None if scenario.recovery is None else goal(scenario)
    planned = state.erring.homeward if state.erring else None
    if planned is not None and area is None:
        aim = {"time_of_flight": duration, "entry_angle": scenario.orbits.entry_angle}
        with suppress(ArithmeticError):
            return target_return_as(planned, state.orbit, **aim)
    return _homed(key_of(state.orbit), area, duration, scenario.orbits.entry_angle)


@lru_cache(maxsize=64)  # what changes later, on the way or at its end, leaves it as it is
def _homed(
    key: OrbitKey, area: recovery.Goal | None, duration: float, angle: float
) -> homeward.Homeward:
    """Return the way home from an orbit, remembered by its inputs."""
    if area is None:
        return homeward.target_return(key.orbit, time_of_flight=duration, entry_angle=angle)
    return recovery.target_recovery(
        key.orbit, goal=area, time_of_flight=duration, entry_angle=angle
    )


def goal(scenario: Scenario) -> recovery.Goal:
    """Return where a return is aimed to come down: half an area is left for what goes astray."""
    area = stated(scenario.recovery, "[recovery]")
    slack = SLACK * area.radius / c.R_EARTH
    return recovery.Goal(area.longitude, aimed_range(scenario), area.latitude, slack)


def homeward_correction(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the homeward midcourse correction."""
    allowed = state.scenario.allowances.homeward_correction
    return midcourse.need(state, midcourse.homeward_start(state), allowed, "homeward_correction")
