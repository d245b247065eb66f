"""The planned lunar orbit: its size and sense, its periods, and when the landing comes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, cos, pi, sqrt

from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.twobody import period, speed
from mplan.scenario import Event, Scenario
from mplan.scenario.events import leg_of
from mplan.scenario.profiles import APOLUNE_CHANGE, CIRCULARISATION, PLANE_CHANGE, UPKEEP
from mplan.scenario.sense import LEVEL
from mplan.scenario.stated import stated


def radius(scenario: Scenario) -> float:
    """Return the radius [m] of the planned lunar orbit: of its circle, or of its perilune."""
    return c.R_MOON + stated(scenario.orbits.lunar_altitude, "orbits.lunar_altitude")


def apolune(scenario: Scenario) -> float:
    """Return the radius [m] of the planned lunar orbit's apolune: that of its circle, if it is one.

    An orbit with a stated argument of perilune is first a circle (see `insertion_apolune`).
    """
    high = scenario.orbits.lunar_apolune
    return radius(scenario) if high is None else c.R_MOON + high


def insertion_apolune(scenario: Scenario) -> float:
    """Return the radius [m] of the apolune that the insertion leads to."""
    orbits = scenario.orbits
    if orbits.capture_apolune is not None:
        return c.R_MOON + orbits.capture_apolune
    placed = orbits.lunar_argument_of_perilune is not None
    return radius(scenario) if placed else apolune(scenario)


def sense(scenario: Scenario) -> float:
    """Return 1 for a lunar orbit in the sense of the Moon's turn, -1 for one against it."""
    orbits = scenario.orbits
    along = 0.0 if orbits.lunar_inclination is None else cos(orbits.lunar_inclination)
    if abs(along) > LEVEL:
        return 1.0 if along > 0.0 else -1.0
    return -1.0 if orbits.approach == "retrograde" else 1.0


def circle(state: State) -> float:
    """Return the radius [m] of the orbit the ship flies: the planned one, or that of one it met."""
    return state.orbit.a if state.met else radius(state.scenario)


def field(scenario: Scenario) -> Degree:
    """Return to which degree the Moon's field is reckoned near it."""
    return 8 if scenario.orbits.lunar_gravity == "degree 8" else 2


def revolution(scenario: Scenario) -> float:
    """Return the period [s] of the planned lunar orbit."""
    a = (radius(scenario) + apolune(scenario)) / 2.0
    return 2.0 * pi * sqrt(a**3 / c.MU_MOON)


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
    steps = list(_lowered_revolutions(scenario, ahead))
    for index, event in enumerate(ahead):
        leg = leg_of(event)
        if leg == "lunar-orbit insertion":
            counting, far = True, turns_far_out(ahead[index:])
        elif event.do == "land":
            return times
        elif counting and leg in ("descent-orbit insertion", UPKEEP):
            times += revolution(scenario)
        elif counting and leg == PLANE_CHANGE:
            times = _next(times, scenario, 0.5) if far else times + revolution(scenario) / 2.0
        elif leg in (APOLUNE_CHANGE, CIRCULARISATION) and steps:
            times, far = times + steps.pop(0), False
        elif far and leg == CIRCULARISATION:
            times, far = _next(times, scenario, 0.0), False
        elif counting:
            times += getattr(event, "duration", None) or 0.0
    return times


def turns_far_out(ahead: Sequence[Event]) -> bool:
    """Tell whether the plane is changed on the capture ellipse, before the circularisation."""
    legs = [leg_of(event) for event in ahead]
    last = legs.index(CIRCULARISATION) if CIRCULARISATION in legs else 0
    return PLANE_CHANGE in legs[:last]


def _lowered_revolutions(scenario: Scenario, ahead: Sequence[Event]) -> Iterator[float]:
    """Yield how long the ship flies [s] in each capture ellipse, where it is lowered in steps.

    As if the steps were of like impulse, which a heavy ship's are to some tenths.
    """
    legs = [leg_of(event) for event in ahead]
    last = legs.index(CIRCULARISATION) if CIRCULARISATION in legs else 0
    count = legs[:last].count(APOLUNE_CHANGE)
    if not count or scenario.orbits.capture_apolune is None:
        return
    low, high = radius(scenario), insertion_apolune(scenario)
    first, end = (speed(low, (low + x) / 2.0, c.MU_MOON) for x in (high, low))
    for step in range(count + 1):
        pace = first + (end - first) * step / (count + 1)
        a = 1.0 / (2.0 / low - pace**2 / c.MU_MOON)
        yield period(a, c.MU_MOON)


def _next(elapsed: float, scenario: Scenario, part: float) -> float:
    """Return when, not before `elapsed` [s], wholes and a `part` of the ellipse are flown [s]."""
    whole = capture_revolution(scenario)
    return whole * (part + max(0, ceil(elapsed / whole - part - 1e-6)))
