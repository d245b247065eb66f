"""Turned back before the Moon: as soon as an engine can, and with its least burn.

Where there is a recovery area the soonest way is timed to its longitude; its latitude follows from
the plane of the arc, which is kept. See `circumlunar.direct_return`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import pi

from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.once import once
from mplan.contingencies.ways_out.outbound.pushed_home import (
    PushedBurn,
    Pushing,
    flown,
    loss_about,
)
from mplan.contingencies.ways_out.outbound.told import NamedBurn, shut, told
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.homeward import goal
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.bodies.downrange import place_ahead
from mplan.physics.circumlunar.coast_past import CorrectionHome
from mplan.physics.circumlunar.direct_return import (
    least_return,
    return_in_time,
    soonest_return,
)
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import length
from mplan.scenario import Scenario

# Of what there is, that are tried until arc and entry can be flown. The first keeps a twentieth for
# the corrections that a burn of this size asks for (common practice, no source).
SHARES = (0.95, 0.75, 0.5)
CIRCLING, COMING = 7.9e3, 11.0e3  # m/s, entry speeds of a low orbit and of a return from the Moon
SHALLOW = -2.0 * c.DEG  # rad, the entry angle from a low orbit (common practice, no source)
ANGLED = 0.05 * c.DEG  # that is worth another look
TIMINGS, ON_TIME = 4, 60.0  # tries to come down at a longitude; s, a quarter of a degree
TURN_BACK = "turn-back burn"


def turning_back(way: OnTheWay, pushes: Pushing) -> Iterator[WayOut]:
    """Yield the soonest way home by an engine, and that of the least burn, where they are two."""
    soonest = _soonest(way, pushes)
    yield soonest
    unhurried = _least(way, pushes)
    if soonest.closed or unhurried.required < 0.9 * soonest.required:
        yield unhurried


def entry_angle(scenario: Scenario, speed: float) -> float:
    """Return the angle [rad] to aim for at an entry `speed` [m/s].

    That of the scenario from the Moon's distance, a shallow one from a low orbit, and evenly
    between them.
    """
    share = (speed - CIRCLING) / (COMING - CIRCLING)
    return SHALLOW + min(1.0, max(0.0, share)) * (scenario.orbits.entry_angle - SHALLOW)


def _soonest(way: OnTheWay, pushes: Pushing) -> WayOut:
    name = f"direct return by {pushes.burner.title}"
    found = shut(way, pushes, name, "it has next to nothing left to burn")
    for share in SHARES:
        try:
            found = _with(way, pushes, name, share)
        except ArithmeticError as problem:
            return shut(way, pushes, name, str(problem)) if share == SHARES[0] else found
        if not found.closed:
            return found
    return found


def _with(way: OnTheWay, pushes: Pushing, name: str, share: float) -> WayOut:
    """Return the way home with a share of what there is; less what a long burn loses."""
    here, there = way.ready, pushes.available
    size = share * (there - 2.0 * loss_about(here, there, pushes.lasts(there)))
    if size <= 0.0:
        raise NoArc("its thrust is too low for one burn there")
    home, angle = _at_its_speed(way, lambda x: once(_soonest_from, here, size, x))
    home = _to_the_area(way, here, home, angle)
    burn = _within(way, pushes, here, home, angle)
    return told(way, pushes, name, [NamedBurn(TURN_BACK, burn)])


def _within(
    way: OnTheWay, pushes: Pushing, here: nbody.Arrival, home: CorrectionHome, angle: float
) -> PushedBurn:
    """Return the burn flown out; where it then takes more than there is, a smaller one."""
    burn = flown(way, pushes, here, home, angle)
    over = burn.required - pushes.available
    if over <= 0.0:
        return burn
    smaller = once(_soonest_from, here, home.delta_v - 2.0 * over, angle)
    return flown(way, pushes, here, smaller, angle)


def _at_its_speed(
    way: OnTheWay, fly: Callable[[float], CorrectionHome]
) -> tuple[CorrectionHome, float]:
    """Return the way home that `fly` finds at an entry angle [rad] that suits its speed."""
    home, angle = fly(way.entry_angle), way.entry_angle
    better = entry_angle(way.flight.scenario, length(home.interface.v))
    if abs(better - angle) < ANGLED:
        return home, angle
    return fly(better), better


def _to_the_area(
    way: OnTheWay, here: nbody.Arrival, home: CorrectionHome, angle: float
) -> CorrectionHome:
    """Return a later way home that comes down at the area's longitude; as it is without one."""
    if way.flight.scenario.recovery is None:
        return home
    wanted = goal(way.flight.scenario)
    lasts, found = home.interface.t - here.t, home
    for tried in range(TIMINGS):
        end = found.interface
        there = place_ahead(end.r, end.v, end.t, wanted.distance)[1]
        east = (there - wanted.longitude) % (2.0 * pi)  # an hour later is 15 deg further west
        if tried and east > pi:
            east -= 2.0 * pi
        lasts += east / c.W_EARTH
        try:
            found = once(_in_time_from, here, lasts, angle)
        except ArithmeticError:
            return home
        if abs(east) / c.W_EARTH < ON_TIME:
            break
    return found if found.delta_v <= home.delta_v else home


def _least(way: OnTheWay, pushes: Pushing) -> WayOut:
    name = f"direct return by {pushes.burner.title}, least delta-v"
    try:
        here = way.ready
        home, angle = _at_its_speed(way, lambda x: once(_least_from, here, x))
        burn = flown(way, pushes, here, home, angle)
    except ArithmeticError as problem:
        return shut(way, pushes, name, str(problem))
    return told(way, pushes, name, [NamedBurn(TURN_BACK, burn)])


def _soonest_from(here: nbody.Arrival, size: float, angle: float) -> CorrectionHome:
    return soonest_return(_begin(here), size, angle)


def _least_from(here: nbody.Arrival, angle: float) -> CorrectionHome:
    return least_return(_begin(here), angle)


def _in_time_from(here: nbody.Arrival, lasts: float, angle: float) -> CorrectionHome:
    return return_in_time(_begin(here), lasts, angle)


def _begin(here: nbody.Arrival) -> nbody.ArcStart:
    return nbody.ArcStart(here.r, here.v, here.t, 0.0)
