"""The planned lunar orbit: its size, its periods, and when the landing comes."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, pi, sqrt

from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.scenario import Event, Scenario
from mplan.scenario.events import leg_of
from mplan.scenario.profiles import PLANE_CHANGE
from mplan.scenario.stated import stated


def radius(scenario: Scenario) -> float:
    """Return the radius [m] of the planned circular lunar orbit."""
    return c.R_MOON + stated(scenario.orbits.lunar_altitude, "orbits.lunar_altitude")


def circle(state: State) -> float:
    """Return the radius [m] of the orbit the ship flies: the planned one, or that of one it met."""
    return state.orbit.a if state.met else radius(state.scenario)


def field(scenario: Scenario) -> Degree:
    """Return to which degree the Moon's field is reckoned near it."""
    return 8 if scenario.orbits.lunar_gravity == "degree 8" else 2


def revolution(scenario: Scenario) -> float:
    """Return the period [s] of the planned circular lunar orbit."""
    return 2.0 * pi * sqrt(radius(scenario) ** 3 / c.MU_MOON)


def capture_revolution(scenario: Scenario) -> float:
    """Return the period [s] of the ellipse that the insertion ends in."""
    low = radius(scenario)
    high = c.R_MOON + stated(scenario.orbits.capture_apolune, "orbits.capture_apolune")
    return 2.0 * pi * sqrt(((low + high) / 2.0) ** 3 / c.MU_MOON)


def time_to_landing(scenario: Scenario, ahead: Sequence[Event]) -> float:
    """Return the time [s] from perilune to touchdown that the events foresee.

    The wait for the site to come round is taken as half a revolution; landing an hour off
    would put the site 0.5 degrees further round and, near the equator, hardly out of the plane.
    """
    times, counting, far = 0.0, False, False
    for index, event in enumerate(ahead):
        leg = leg_of(event)
        if leg == "lunar-orbit insertion":
            counting, far = True, turns_far_out(ahead[index:])
        elif event.do == "land":
            return times
        elif counting and leg == "descent-orbit insertion":
            times += revolution(scenario)
        elif counting and leg == PLANE_CHANGE:
            times = _next(times, scenario, 0.5) if far else times + revolution(scenario) / 2.0
        elif far and leg == "lunar-orbit circularisation":
            times, far = _next(times, scenario, 0.0), False
        elif counting:
            times += getattr(event, "duration", None) or 0.0
    return times


def turns_far_out(ahead: Sequence[Event]) -> bool:
    """Tell whether the plane is changed on the capture ellipse, before the circularisation."""
    legs = [leg_of(event) for event in ahead]
    circle = "lunar-orbit circularisation"
    return circle in legs and PLANE_CHANGE in legs[: legs.index(circle)]


def _next(elapsed: float, scenario: Scenario, part: float) -> float:
    """Return when, not before `elapsed` [s], wholes and a `part` of the ellipse are flown [s]."""
    whole = capture_revolution(scenario)
    return whole * (part + max(0, ceil(elapsed / whole - part - 1e-6)))
