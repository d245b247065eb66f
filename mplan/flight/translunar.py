"""Parking orbit, injection and the coast to the Moon: integrated arcs.

The date of lift-off is found here: with the climb behind it, the ship must be in the one plane
and at the one place from which the burn leads to the Moon.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from math import asin, cos, sqrt
from typing import Any, get_args

import numpy as np

from mplan.flight import launch, lunar_orbit, midcourse, plane_change
from mplan.flight.state import Apse, Departing, Need, State
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs import free_return, launch_time, outbound
from mplan.physics.arcs.bplane import Asymptote
from mplan.physics.arcs.lunar_orbit import node_rate
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import selenography
from mplan.physics.bodies.earth import declination, geocentric_latitude, true_equator_of_day
from mplan.physics.bodies.ephemeris import moon
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.twobody import circular_speed
from mplan.physics.vectors import cross, turned, unit
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.stated import stated

ACCEPTED = "; accepted: mostly 60 h to 110 h, or another dates.launch_day"
SLIGHT, SECANTS = 0.1, 30  # rad, the longest step to a plane; steps
FLAT = 0.05  # rad: a site this near to the asymptote lies in every plane through it


def find_departure(state: State, ahead: Sequence[Event]) -> State:
    """Return the state with the date of lift-off and the way to the Moon found.

    Raises Unflyable where no arc leads there, or none that lifts off on the day.
    """
    scenario = state.scenario

    def plane(incoming: Asymptote, t: float) -> np.ndarray:
        return arrival_plane(scenario, ahead, incoming, t)

    climb, azimuth = state.climb, scenario.launch_site.azimuth
    orbit = launch.parking(scenario, climb.duration, climb.angle, azimuth)
    around: Arrival | None = None
    moment = launch.lift_off(scenario)
    if moment is not None:
        flown = _on_time(scenario, plane, orbit, moment)
    else:
        flyby = scenario.mission.profile == "free-return flyby"
        way = partial(_free_return if flyby else _to_lunar_orbit, scenario, plane)
        flown, around = _on_the_day(way, orbit, scenario)
    return replace(state, departing=Departing(flown.lift_off, flown, around))


_Way = tuple[outbound.Outbound, Arrival | None]  # there, and back if no burn is required for it


def _to_lunar_orbit(scenario: Scenario, plane: outbound.LunarPlane, orbit: Parking) -> _Way:
    try:
        return outbound.target_outbound(
            orbit, side=scenario.dates.side, **_passage(scenario, plane)
        ), None
    except ArithmeticError as problem:
        _refuse_too_flat(orbit, scenario)
        raise _no_arc(scenario, problem) from problem


def _passage(scenario: Scenario, plane: outbound.LunarPlane) -> dict[str, Any]:
    """Return what the flight to lunar orbit is to come to, for `target_outbound`."""
    return {
        "revolutions": scenario.orbits.parking_revolutions,
        "time_of_flight": launch.translunar_time(scenario),
        "perilune": lunar_orbit.radius(scenario),
        "plane": plane,
    }


def _no_arc(scenario: Scenario, problem: ArithmeticError) -> Unflyable:
    hours = launch.translunar_time(scenario) / c.HOUR
    text = f"found {hours:g} h, for which no arc to the Moon was found on this day ({problem})"
    return Unflyable(("dates", "translunar_time"), text + ACCEPTED)


def _on_time(
    scenario: Scenario, plane: outbound.LunarPlane, orbit: Parking, moment: float
) -> outbound.Outbound:
    """Return the way that lifts off at the planned clock time, within the azimuth limits."""
    place = scenario.launch_site
    try:
        flown = launch_time.target_at_launch_time(orbit, moment, **_passage(scenario, plane))
    except ArithmeticError as problem:
        raise _no_arc(scenario, problem) from problem
    azimuth = flown.parking.site.azimuth
    if place.azimuth_min <= azimuth <= place.azimuth_max:
        return flown
    text = (
        f"found {scenario.dates.launch_time:%H:%M:%S}, when the way to the Moon leads along "
        f"{azimuth / c.DEG:.1f} deg; accepted: {_open_hours(scenario, plane, orbit)}, when it "
        f"lies from {place.azimuth_min / c.DEG:g} deg to {place.azimuth_max / c.DEG:g} deg"
    )
    raise Unflyable(("dates", "launch_time"), text)


def _open_hours(scenario: Scenario, plane: outbound.LunarPlane, orbit: Parking) -> str:
    """Return the hours of the day at which the azimuth lies within its limits, as text."""
    hours = []
    for side in get_args(outbound.Side):
        with suppress(ArithmeticError):
            edges, start = [], orbit.t
            for azimuth in (scenario.launch_site.azimuth_min, scenario.launch_site.azimuth_max):
                edge = replace(orbit, t=start, site=replace(orbit.site, azimuth=azimuth))
                flown = outbound.target_outbound(edge, side=side, **_passage(scenario, plane))
                edges.append(flown.lift_off)
                start = flown.lift_off - c.DAY / 2.0  # the other edge is the one nearest to this
            inside = (max(orbit.t, min(t, orbit.t + c.DAY - c.MINUTE)) for t in sorted(edges))
            opens, closes = (utc_from_tdb(t) for t in inside)
            hours.append(f"{opens:%H:%M} to {closes:%H:%M}")
    return " or ".join(hours) or "another day"


def _free_return(scenario: Scenario, plane: outbound.LunarPlane, orbit: Parking) -> _Way:
    orbits = scenario.orbits
    altitude = stated(orbits.flyby_altitude, "orbits.flyby_altitude")
    try:
        return free_return.find_free_return(
            orbit,
            revolutions=orbits.parking_revolutions,
            perilune=c.R_MOON + altitude,
            entry_angle=orbits.entry_angle,
            plane=plane,
            side=scenario.dates.side,
        )
    except ArithmeticError as problem:
        text = f"found {altitude / 1e3:g} km, past which no free return was found"
        text += f" on this day ({problem}); accepted: mostly 100 km to 3000 km"
        raise Unflyable(("orbits", "flyby_altitude"), text) from problem


def _on_the_day(way: Callable[[Parking], _Way], orbit: Parking, scenario: Scenario) -> _Way:
    """Return the way whose lift-off falls on the day that begins at `orbit.t`.

    Chances of one side come 24.1 to 25.6 h apart, so that now and then a day has none, and the
    first one found after midnight may turn out to lie before it, or a day too late.
    """
    midnight = orbit.t
    times = []
    for offset in (0.0, -c.DAY / 4.0, c.DAY / 4.0):
        found = way(replace(orbit, t=midnight + offset))
        if 0.0 <= found[0].lift_off - midnight < c.DAY:
            return found
        times.append(found[0].lift_off)
    nearest = sorted({f"{utc_from_tdb(t):%Y-%m-%d} (at {utc_from_tdb(t):%H:%M})" for t in times})
    text = (
        f"found {scenario.dates.launch_day}, which has no launch on the {scenario.dates.side} "
        f"side; accepted: {' or '.join(nearest)}, or the other dates.side"
    )
    raise Unflyable(("dates", "launch_day"), text)


def _refuse_too_flat(orbit: Parking, scenario: Scenario) -> None:
    """Raise Unflyable where the parking orbit never passes under the Moon."""
    arrival = orbit.t + launch.translunar_time(scenario)
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
        north = asin(steepest) / c.DEG
        text += f"; accepted: up to {north:.1f} deg or from {180.0 - north:.1f} deg"
    raise Unflyable(("launch_site", "azimuth"), text)


def arrival_plane(
    scenario: Scenario, ahead: Sequence[Event], incoming: Asymptote, t: float
) -> np.ndarray:
    """Return the normal of the lunar orbit to arrive in, perilune being at `t` [TDB s].

    The plane holds the incoming asymptote and, when the lander comes down, the landing site.
    Without a site it lies as near the Moon's equator as the asymptote lets it.
    """
    pole = selenography.lunar_pole(t)
    sense = -1.0 if scenario.orbits.approach == "retrograde" else 1.0
    level = sense * unit(pole - (pole @ incoming.s) * incoming.s)
    place = scenario.landing_site
    if place is None or scenario.mission.landing_crew == 0:
        return level
    turns = plane_change.planned(scenario, ahead)
    if any(_to_site(burn, scenario) for burn in turns):
        return level  # the ship turns to the site later, wherever it comes in
    wait = lunar_orbit.time_to_landing(scenario, ahead)
    site = unit(selenography.site_position(place.latitude, place.longitude, t + wait))
    normal = _through(incoming.s, site, level)
    # J2 turns the plane while the ship waits: aim at where the site would be without that.
    a = lunar_orbit.radius(scenario)
    rate = node_rate(a, 0.0, float(np.arccos(normal @ pole)))
    wanted = turned(site, pole, -rate * wait)
    direct = _through(incoming.s, wanted, level)
    return _before_turns(direct, turns, incoming, wanted, scenario, t) if turns else direct


def _to_site(burn: BurnEvent, scenario: Scenario) -> bool:
    """Tell whether a plane change turns as far as the site needs, and not by a stated angle."""
    return burn.turn is None and scenario.orbits.capture_plane_change is None


def _before_turns(
    direct: np.ndarray,
    turns: Sequence[BurnEvent],
    incoming: Asymptote,
    wanted: np.ndarray,
    scenario: Scenario,
    t: float,
) -> np.ndarray:
    """Return the plane to arrive in so that, after the planned turns, it holds the site.

    Near `direct`, the plane that would hold it without them: the secant method on the angle
    about the asymptote. Where none does, the one that was tried last.
    """
    low = lunar_orbit.radius(scenario)
    e = 1.0 + low * incoming.v_inf**2 / c.MU_MOON

    def off(angle: float) -> float:
        normal = turned(direct, incoming.s, angle)
        perilune = incoming.s / e - cross(normal, incoming.s) * sqrt(1.0 - 1.0 / e**2)
        return float(plane_change.turned_by(normal, perilune, turns, scenario, t) @ wanted)

    last, angle = 0.0, SLIGHT
    before = off(last)
    for _ in range(SECANTS):
        now = off(angle)
        if abs(now) < 1e-10 or now == before:
            break
        step = now * (angle - last) / (now - before)
        last, before, angle = angle, now, angle - max(-SLIGHT, min(SLIGHT, step))
    return turned(direct, incoming.s, angle)


def _through(s: np.ndarray, site: np.ndarray, level: np.ndarray) -> np.ndarray:
    """Return the normal of the plane of two directions, on the side of `level`."""
    normal = cross(s, site)
    if np.linalg.norm(normal) < FLAT:
        return level
    return unit(normal) * (1.0 if normal @ level > 0.0 else -1.0)


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


def along_azimuth(flight_end: State, azimuth: float) -> outbound.Outbound:
    """Return the way to the Moon of a mission already flown, along another `azimuth` [rad].

    Lift-off, place and size of the burn are found anew, the rest of the passage is as flown; of
    the launches that do, the nearest in time. NoArc where no arc leads there along that azimuth.
    """
    flown = flight_end.outbound
    site = replace(flown.parking.site, azimuth=azimuth)
    orbit = replace(flown.parking, site=site, t=flown.lift_off - c.DAY / 2.0)
    return _refly(flight_end, orbit, flown.perilune.t - flown.injection)


def on_another_day(flight_end: State, offset: float, time_of_flight: float) -> outbound.Outbound:
    """Return the way to the Moon of a mission already flown, on another day or faster or slower.

    `offset` [s] is added to the beginning of the launch day; azimuth, side and the rest of the
    passage are as flown. NoArc where no arc leads there.
    """
    midnight = launch.midnight(flight_end.scenario)
    orbit = replace(flight_end.outbound.parking, t=midnight + offset)
    return _refly(flight_end, orbit, time_of_flight)


def _refly(flight_end: State, orbit: Parking, time_of_flight: float) -> outbound.Outbound:
    """Return the same passage from another parking orbit and in another time."""
    scenario, flown = flight_end.scenario, flight_end.outbound
    return outbound.target_outbound(
        orbit,
        revolutions=scenario.orbits.parking_revolutions,
        time_of_flight=time_of_flight,
        perilune=float(np.linalg.norm(flown.perilune.lunar_r)),
        plane=lambda incoming, t: arrival_plane(scenario, scenario.events, incoming, t),
        side=scenario.dates.side,
    )
