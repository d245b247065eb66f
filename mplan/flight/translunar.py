"""Parking orbit, injection and the coast to the Moon: integrated arcs.

The date of lift-off is found here: with the climb behind it, the ship must be in the one plane
and at the one place from which the burn leads to the Moon.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache, partial
from math import asin, cos, pi
from typing import TypeVar

import numpy as np

from mplan.flight import launch, lunar_orbit, midcourse
from mplan.flight.arrival.plane import arrival_plane, require_inclination
from mplan.flight.constrained import hybrid_arc
from mplan.flight.ships import joining, planned
from mplan.flight.state import Apse, Departing, Need, State
from mplan.flight.unflyable import Unflyable, nearest, other_times
from mplan.physics import constants as c
from mplan.physics.arcs import launch_time, outbound
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies.earth import declination, geocentric_latitude, true_equator_of_day
from mplan.physics.bodies.ephemeris import moon
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.circumlunar import free_return
from mplan.physics.circumlunar.hybrid import HybridTransfer
from mplan.physics.twobody import circular_speed
from mplan.physics.vectors import unit
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.profiles import FREE_RETURN, HYBRID
from mplan.scenario.stated import stated

NEIGHBOURS = (c.HOUR, -c.HOUR, 3.0 * c.HOUR, -3.0 * c.HOUR)  # s of the time of flight
OTHER_HEIGHTS = (1.25, 0.8, 1.6, 0.6, 2.5)  # of a planned flyby's
EDGE = 0.01 * c.DEG  # of a window, found with the climb along another azimuth, 0.2 s longer


def find_departure(state: State, ahead: Sequence[Event]) -> State:
    """Return the state with the date of lift-off and the way to the Moon found.

    Raises Unflyable where no arc leads there, or none that lifts off on the day.
    """
    scenario, climb = state.scenario, state.climb
    plane = launch.planned_plane(scenario)
    orbit = launch.parking(scenario, climb.duration, climb.angle, plane)
    around: Arrival | None = None
    transfer: HybridTransfer | None = None
    moment, met = launch.lift_off(scenario), met_there(state, ahead)
    if moment is not None:
        flown = _on_time(scenario, orbit, moment, passage(scenario, ahead, met))
    elif scenario.orbits.flyby_altitude is not None:
        flown, around = _free_return(scenario, _plane(scenario, ahead), orbit)
    elif scenario.orbits.translunar_arc == FREE_RETURN:
        flown, _ = _free_return(scenario, _plane(scenario, ahead), orbit)
    elif scenario.orbits.translunar_arc == HYBRID:
        flown, transfer = _hybrid(scenario, ahead, orbit)
    else:
        flown = _to_lunar_orbit(scenario, passage(scenario, ahead, met), orbit)
    require_inclination(scenario, flown)
    return replace(state, departing=Departing(flown.lift_off, flown, around, transfer))


def met_there(state: State, ahead: Sequence[Event]) -> LunarOrbit | None:
    """Return the orbit of the ship to be met at the Moon, about when this one comes there."""
    waiting = joining.met_at_the_moon(state, ahead)
    if waiting is None:
        return None
    about = launch.midnight(state.scenario) + c.DAY / 2.0 + launch.translunar_time(state.scenario)
    return coast(waiting, about - waiting.t)


def _plane(
    scenario: Scenario, ahead: Sequence[Event], met: LunarOrbit | None = None
) -> outbound.LunarPlane:
    landing = planned.landing(scenario)
    return arrival_plane(scenario, ahead, met, landing)


def passage(
    scenario: Scenario, ahead: Sequence[Event], met: LunarOrbit | None = None
) -> outbound.LunarPassage:
    """Return what the flight to lunar orbit is to come to, with the events `ahead` of it.

    `met` is the orbit of a ship that waits there, if one is to be met.
    """
    return outbound.LunarPassage(
        revolutions=scenario.orbits.parking_revolutions,
        time_of_flight=launch.translunar_time(scenario),
        perilune=lunar_orbit.radius(scenario),
        plane=_plane(scenario, ahead, met),
    )


_Way = TypeVar("_Way", outbound.Outbound, free_return.FreeReturn, hybrid_arc.HybridArc)


def _to_lunar_orbit(
    scenario: Scenario, there: outbound.LunarPassage, orbit: Parking
) -> outbound.Outbound:
    """Return the way to lunar orbit along the planned azimuth; Unflyable with what does fly."""

    side = scenario.dates.side

    def in_time(time_of_flight: float) -> outbound.Outbound:
        other = there._replace(time_of_flight=time_of_flight)
        way = partial(outbound.target_outbound, **other._asdict(), side=side)
        return _on_the_day(way, orbit, scenario)

    try:
        way = partial(_from_neighbours, passage=there, side=side)
        return _on_the_day(way, orbit, scenario)
    except ArithmeticError as problem:
        _refuse_too_flat(orbit, scenario)
        hours = there.time_of_flight / c.HOUR
        text = f"found {hours:g} h, for which no arc to the Moon was found on this day"
        other = nearest(other_times(there.time_of_flight), in_time)
        if other is None:
            _refuse_azimuth(scenario, orbit, there)
            text += "; accepted: mostly 60 h to 110 h, or another dates.launch_day"
        else:
            text += f"; accepted: {other / c.HOUR:g} h is the nearest that flies"
        raise Unflyable(("dates", "translunar_time"), text) from problem


@lru_cache(maxsize=64)  # what changes later, at the Moon or on the way home, leaves it as it is
def _from_neighbours(
    orbit: Parking, passage: outbound.LunarPassage, side: outbound.Side
) -> outbound.Outbound:
    """Return the way to the Moon; where its own guess leads nowhere, from ways a little slower."""
    try:
        return outbound.target_outbound(orbit, **passage._asdict(), side=side)
    except ArithmeticError:
        for more in NEIGHBOURS:
            beside = passage._replace(time_of_flight=passage.time_of_flight + more)
            with suppress(ArithmeticError):
                near = outbound.target_outbound(orbit, **beside._asdict(), side=side)
                start = outbound.unknowns_of(near, orbit)
                return outbound.target_outbound(orbit, **passage._asdict(), start=start)
        raise


def _refuse_azimuth(scenario: Scenario, orbit: Parking, there: outbound.LunarPassage) -> None:
    """Raise Unflyable where another azimuth than the planned one leads to the Moon on the day."""
    planned = launch.planned_plane(scenario)
    flights = [x for each in launch.open_intervals(scenario, orbit, there) for x in each.flights]
    flights = [x for x in flights if 0.0 <= x.lift_off - orbit.t < c.DAY]
    if not flights:
        return
    other = min(flights, key=lambda x: abs(x.azimuth - planned))
    along = launch.over_ground(scenario, other.azimuth)
    raise Unflyable(
        ("launch_site", "azimuth"),
        f"found {scenario.launch_site.azimuth / c.DEG:.1f} deg, along which no arc to the Moon was "
        f"found on this day; accepted: about {along / c.DEG:.1f} deg, or dates.launch_time "
        f"{utc_from_tdb(other.lift_off):%H:%M}",
    )


def _on_time(
    scenario: Scenario, orbit: Parking, moment: float, there: outbound.LunarPassage
) -> outbound.Outbound:
    """Return the way that lifts off at the planned clock time, within the azimuth limits."""
    usual = launch_time.first_place(launch.usual_launch(scenario, moment), orbit)
    flown = _at_launch_time(orbit, moment, there, usual)
    if flown is not None and _allowed(flown, scenario):
        return flown
    intervals = launch.open_intervals(scenario, orbit, there)
    near = launch.flight_near(intervals, moment)
    if near is not None:
        again = _at_launch_time(orbit, moment, there, launch_time.launch_unknowns(near))
        if again is not None and _allowed(again, scenario):
            return again
    along = launch.over_ground(scenario, flown.azimuth) if flown else None
    place, open_hours = scenario.launch_site, launch.hours(intervals, orbit.t)
    led = f", when the way to the Moon leads along {along / c.DEG:.1f} deg" if along else ""
    text = (
        f"found {scenario.dates.launch_time:%H:%M:%S}{led}; accepted: {open_hours}, when the "
        f"launch azimuth lies from {place.azimuth_min / c.DEG:g} deg to "
        f"{place.azimuth_max / c.DEG:g} deg"
    )
    raise Unflyable(("dates", "launch_time"), text)


def _at_launch_time(
    orbit: Parking, moment: float, there: outbound.LunarPassage, start: launch_time.LaunchGuess
) -> outbound.Outbound | None:
    try:
        return launch_time.target_at_launch_time(orbit, moment, there, start=start)
    except ArithmeticError:
        return None


def _allowed(flown: outbound.Outbound, scenario: Scenario) -> bool:
    low, high = launch.plane_limits(scenario)
    return low - EDGE <= flown.azimuth <= high + EDGE


def _free_return(
    scenario: Scenario, plane: outbound.LunarPlane, orbit: Parking
) -> free_return.FreeReturn:
    """Return the way round the Moon and home; Unflyable with what does fly."""
    orbits = scenario.orbits
    key = "lunar_altitude" if orbits.flyby_altitude is None else "flyby_altitude"
    altitude = stated(getattr(orbits, key), f"orbits.{key}")

    def past(height: float) -> free_return.FreeReturn:
        way = partial(
            free_return.find_free_return,
            revolutions=orbits.parking_revolutions,
            perilune=c.R_MOON + height,
            entry_angle=orbits.entry_angle,
            plane=plane,
            side=scenario.dates.side,
        )
        return _on_the_day(way, orbit, scenario)

    try:
        return past(altitude)
    except ArithmeticError as problem:
        _refuse_too_flat(orbit, scenario)
        other = nearest((share * altitude for share in OTHER_HEIGHTS), past)
        raise _no_free_return(scenario, altitude, other) from problem


def _no_free_return(scenario: Scenario, altitude: float, other: float | None) -> Unflyable:
    """Return what to say where none passes an altitude [m]; past the `other` [m] one flies."""
    height = f"{altitude / 1e3:g} km"
    near = f"{other / 1e3:.0f} km is the nearest tried that flies" if other else "another day"
    if scenario.orbits.flyby_altitude is not None:
        text = f"found {height}, past which no free return was found on this day"
        return Unflyable(("orbits", "flyby_altitude"), f"{text}; accepted: {near}")
    text = f'found "{FREE_RETURN}", and none past {height} was found into the plane of this day'
    accepted = f'"{HYBRID}", "free", or another orbits.lunar_altitude: {near}'
    return Unflyable(("orbits", "translunar_arc"), f"{text}; accepted: {accepted}")


def _hybrid(scenario: Scenario, ahead: Sequence[Event], orbit: Parking) -> hybrid_arc.HybridArc:
    """Return the hybrid arc and its transfer; Unflyable with what does fly."""

    def in_time(time_of_flight: float) -> hybrid_arc.HybridArc:
        way = partial(
            hybrid_arc.to_lunar_orbit,
            scenario=scenario,
            ahead=ahead,
            time_of_flight=time_of_flight,
        )
        return _on_the_day(way, orbit, scenario)

    planned = launch.translunar_time(scenario)
    try:
        return in_time(planned)
    except ArithmeticError as problem:
        _refuse_too_flat(orbit, scenario)
        text = f"found {planned / c.HOUR:g} h, for which no hybrid arc was found on this day"
        other = nearest(other_times(planned), in_time)
        near = f"{other / c.HOUR:g} h is the nearest that flies" if other else "another day"
        text += f'; accepted: {near}, or orbits.translunar_arc = "free"'
        raise Unflyable(("dates", "translunar_time"), text) from problem


def _on_the_day(way: Callable[[Parking], _Way], orbit: Parking, scenario: Scenario) -> _Way:
    """Return the way whose lift-off falls on the day that begins at `orbit.t`.

    Chances of one side come 24.1 to 25.6 h apart, so that now and then a day has none, and the
    first one found after midnight may turn out to lie before it, or a day too late.
    """
    midnight = orbit.t
    times = []
    for offset in (0.0, -c.DAY / 4.0, c.DAY / 4.0):
        found = way(replace(orbit, t=midnight + offset))
        there = found if isinstance(found, outbound.Outbound) else found.outbound
        if 0.0 <= there.lift_off - midnight < c.DAY:
            return found
        times.append(there.lift_off)
    nearest = sorted({f"{utc_from_tdb(t):%Y-%m-%d} (at {utc_from_tdb(t):%H:%M})" for t in times})
    text = (
        f"found {scenario.dates.launch_day}, which has no launch on the {scenario.dates.side} "
        f"side; accepted: {' or '.join(nearest)}, or the other dates.side"
    )
    raise Unflyable(("dates", "launch_day"), text)


A_FREE_RETURN = 72.0 * c.HOUR  # to perilune, about; it decides its own (common practice, no source)


def _refuse_too_flat(orbit: Parking, scenario: Scenario) -> None:
    """Raise Unflyable where the parking orbit never passes under the Moon."""
    arrival = orbit.t + (scenario.dates.translunar_time or A_FREE_RETURN)
    high = abs(declination(unit(true_equator_of_day(arrival) @ moon(arrival).r)))
    if orbit.site.inclination >= high:
        return
    text = (
        f"found {scenario.launch_site.azimuth / c.DEG:.1f} deg, which makes an orbit inclined "
        f"{orbit.site.inclination / c.DEG:.1f} deg that the Moon, {high / c.DEG:.1f} deg from "
        "the equator, stays out of"
    )
    steepest = cos(high) / cos(geocentric_latitude(orbit.site.latitude))
    if steepest < 1.0:  # else every azimuth would do
        bounds = (asin(steepest), pi - asin(steepest))  # of the plane
        most, least = (launch.over_ground(scenario, x) / c.DEG for x in bounds)
        text += f"; accepted: up to {most:.1f} deg or from {least:.1f} deg"
    raise Unflyable(("launch_site", "azimuth"), text)


def translunar_injection(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burn from the parking orbit to the Moon."""
    at = state.until(state.outbound.injection)
    radius = c.R_EARTH + state.scenario.orbits.parking_altitude
    apse = Apse(radius, circular_speed(radius, c.MU_EARTH), c.MU_EARTH)
    return Need(state.outbound.delta_v, at, at, apse=apse)


def outbound_correction(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the outbound midcourse correction."""
    allowed = state.scenario.allowances.outbound_correction
    return midcourse.need(state, midcourse.outbound_start(state), allowed, "outbound_correction")


def passage_of(flight_end: State, met: LunarOrbit | None = None) -> outbound.LunarPassage:
    """Return the passage of the Moon that a mission has flown, its plane found anew.

    `met` is the orbit of a ship that waits there, if one was met (`met_there`).
    """
    scenario, flown = flight_end.scenario, flight_end.outbound
    return outbound.LunarPassage(
        revolutions=scenario.orbits.parking_revolutions,
        time_of_flight=flown.perilune.t - flown.injection,
        perilune=float(np.linalg.norm(flown.perilune.lunar_r)),
        plane=_plane(scenario, (*scenario.events, *scenario.then), met),
    )


def on_another_day(flight_end: State, offset: float, time_of_flight: float) -> outbound.Outbound:
    """Return the way to the Moon of a mission already flown, on another day or faster or slower.

    `offset` [s] is added to the beginning of the launch day; azimuth, side and the rest of the
    passage are as flown. NoArc where no arc leads there.
    """
    orbit = flight_end.outbound.parking
    orbit = replace(orbit, t=launch.midnight(flight_end.scenario) + offset)
    there = passage_of(flight_end)._replace(time_of_flight=time_of_flight)
    return outbound.target_outbound(orbit, side=flight_end.scenario.dates.side, **there._asdict())
