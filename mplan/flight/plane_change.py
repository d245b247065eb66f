"""A turn of the ship's plane in lunar orbit: far out on the capture ellipse, or on the circle.

On the ellipse it is made at apolune, where the ship is slow. On the circle a stated angle turns
the course where it crosses the Moon's equator northwards, so that the inclination changes; with
no angle, the plane is turned as little as brings the landing site into it for the next landing or
lunar lift-off.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile
from math import pi, sqrt

import numpy as np

from mplan.flight import lunar_orbit
from mplan.flight.arrival.site import over_site
from mplan.flight.arrival.turn import CIRCLE, to_azimuth, turned_need
from mplan.flight.state import Aimed, Need, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, node_rate, until_over
from mplan.physics.bodies import selenography
from mplan.physics.burns.aimed_burn import velocity_in_plane
from mplan.physics.twobody import conic
from mplan.physics.vectors import cross, turned, unit
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.events import burns_of, has_burn, leg_of
from mplan.scenario.profiles import PLANE_CHANGE, UPKEEP
from mplan.scenario.stated import stated

ALIKE = 1e-6  # rad between two planes that are one
ROUND = 1e-3  # eccentricity, below which an orbit is taken for the circle
ELLIPSE = 0.05  # eccentricity, above which an orbit is no circle that has drifted


def change(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burn that turns the ship's plane at the next place for it."""
    over = to_azimuth(state.scenario, ahead)
    here = conic(state.orbit.r, state.orbit.v, c.MU_MOON)
    circles = has_burn(ahead, CIRCLE)
    # A circle that has drifted is one still; an ellipse that stays one is turned at apolune, too.
    if (circles and here.e > ROUND) or here.e > ELLIPSE:
        at = state.later(_to_apolune(state.orbit))
        if over:
            wait, pace = time_to_site(state.scenario, ahead), float(np.linalg.norm(at.orbit.v))
            return turned_need(at, at.orbit, pace, ahead, wait)
        angle = burn.turn if burn.turn is not None else _at_apolune(state.scenario)
        return _turn(at, northwards(at.orbit.normal, angle, at.t))
    if burn.turn is not None:
        node = ascending_node(state.orbit.normal, state.t)
        at = state.later(until_over(state.orbit, node))
        return _turn(at, northwards(at.orbit.normal, burn.turn, at.t))
    return _into_plane(state, ahead) if over else _to_site(state, ahead)


def _to_apolune(orbit: LunarOrbit) -> float:
    """Return the time [s] to the next apolune of an ellipse."""
    here = conic(orbit.r, orbit.v, c.MU_MOON)
    whole = 2.0 * pi * sqrt(here.a**3 / c.MU_MOON)
    return (whole / 2.0 - here.since_periapsis) % whole


def northwards(normal: np.ndarray, turn: float, t: float) -> float:
    """Return a turn of the course to the north [rad] as one about the radius, right-handed.

    Which turns the course to the left; left of an orbit against the Moon's turn is south.
    """
    return turn if float(normal @ selenography.lunar_pole(t)) > 0.0 else -turn


def ascending_node(normal: np.ndarray, t: float) -> np.ndarray:
    """Return the unit vector to where an orbit crosses the Moon's equator northwards."""
    return unit(cross(selenography.lunar_pole(t), normal))


def _at_apolune(scenario: Scenario) -> float:
    """Return by how much the course turns at the apolune of the capture orbit [rad]."""
    return stated(scenario.orbits.capture_plane_change, "orbits.capture_plane_change")


def _to_site(state: State, ahead: Sequence[Event]) -> Need:
    """Return the least turn that holds the site when the crew next leaves or reaches it."""
    place, wait, at = state.scenario.site, time_to_site(state.scenario, ahead), state
    pole, rate = (
        selenography.lunar_pole(state.t),
        node_rate(state.orbit.a, 0.0, state.orbit.inclination),
    )
    for _ in range(2):  # the wait for the place of the burn moves the time of landing
        site = unit(selenography.site_position(place.latitude, place.longitude, at.t + wait))
        wanted = turned(site, pole, -rate * wait)  # where it would be, did J2 not turn the plane
        axis = unit(cross(state.orbit.normal, wanted))
        waits = [until_over(state.orbit, x) for x in (axis, -axis)]
        at = state.later(min(waits))
    # Right-handed about the radius: the normal comes away from the site it leans towards.
    sense = -1.0 if waits[0] < waits[1] else 1.0
    return _turn(at, sense * at.orbit.angle_off(wanted))


def _into_plane(state: State, ahead: Sequence[Event]) -> Need:
    """Return the turn into the plane over the site along the approach azimuth, where they cross."""
    wait = time_to_site(state.scenario, ahead)
    line = cross(state.orbit.normal, over_site(state.scenario, state.t, wait))
    if float(np.linalg.norm(line)) < ALIKE:  # nothing is left to turn
        return _turn(state, 0.0)
    at = state.later(min(until_over(state.orbit, x) for x in (unit(line), -unit(line))))
    pace = float(np.linalg.norm(at.orbit.v))
    return turned_need(at, at.orbit, pace, ahead, wait)


def time_to_site(scenario: Scenario, ahead: Sequence[Event]) -> float:
    """Return the time [s] that the events foresee to the next landing or lunar lift-off."""
    times, wait = 0.0, lunar_orbit.revolution(scenario)
    for event in ahead:
        leg = leg_of(event)
        if event.do == "land" or leg == "lunar ascent":
            return times
        if leg in ("descent-orbit insertion", UPKEEP):
            times += wait
        elif leg == PLANE_CHANGE:
            times += wait / 2.0
        elif event.do == "stay":
            times += event.duration or stated(scenario.mission.surface_stay, "mission.surface_stay")
        else:
            times += getattr(event, "duration", None) or 0.0
    return times


def _turn(at: State, angle: float) -> Need:
    """Return the burn that turns the course by `angle` [rad] about the radius, where `at` is."""
    orbit = at.orbit
    v = turned(orbit.v, unit(orbit.r), angle)
    after = orbit._replace(v=v)
    energy = float(v @ v) / 2.0 - c.MU_MOON / float(np.linalg.norm(orbit.r))
    apse = Aimed(orbit.r, orbit.v, velocity_in_plane(after.normal, energy, c.MU_MOON), c.MU_MOON)
    impulse = float(np.linalg.norm(v - orbit.v))
    note = f"the plane turns by {abs(angle) / c.DEG:.2f} deg"
    return Need(impulse, at, at.on_orbit(after), apse=apse, place=orbit.r, note=note)


def planned(scenario: Scenario, ahead: Sequence[Event]) -> list[BurnEvent]:
    """Return the plane changes that the events foresee before the landing."""
    before = takewhile(lambda event: event.do != "land", ahead)
    return list(burns_of(before, PLANE_CHANGE))


def turned_by(
    normal: np.ndarray,
    perilune: np.ndarray,
    turns: Sequence[BurnEvent],
    scenario: Scenario,
    t: float,
) -> np.ndarray:
    """Return the normal of an arrival after the turns that are planned by angle.

    `perilune` is the unit vector to it. The first is made on the capture ellipse, if there is one
    to turn on; the others where the circle crosses the equator.
    """
    captured = scenario.orbits.capture_plane_change
    for place, burn in enumerate(turns):
        if captured is not None and place == 0:
            turn, radius = burn.turn if burn.turn is not None else captured, -perilune
        else:
            turn, radius = burn.turn, ascending_node(normal, t)
        normal = turned(normal, radius, northwards(normal, turn, t))
    return normal
