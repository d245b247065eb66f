"""Out of an orbit about Earth by an engine too weak for one burn: in several, at the apsides.

The burn down from an apogee is the shorter the higher that is and the lower the perigee already
lies. So the apogee is raised, burn by burn about the perigee, no further than it takes; then the
perigee is lowered at passes of the apogee to the lowest orbit that an abort may end in; then the
crew come down from the apogee at a pass that leads where they should. Each burn lasts no more than
a stated arc of the orbit, along the velocity, and is integrated with the thrust and the mass there.
The air that the perigees meanwhile pass through is left out, and the way says so. Crew safety rests
on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import log1p
from typing import NamedTuple

from mplan.contingencies.ways_out.at_the_moon.in_parts import ARC
from mplan.contingencies.ways_out.at_the_moon.leaving import READY
from mplan.contingencies.ways_out.outbound.deorbit import (
    ROUND,
    SHALLOWER,
    deorbited,
    down_from,
)
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.pushed_home import Pushing, burned_on, pushing
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut
from mplan.flight.state import Arc
from mplan.physics import constants as c
from mplan.physics.arcs import thrust_arc
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, perigee_for
from mplan.physics.twobody import Conic, conic, period, speed
from mplan.scenario.models import Recovery

TOPS = (400e3, 700e3, 1100e3, 1600e3, 2300e3, 3200e3)  # m, apogees that it is raised to (ours)
CLOSE = 15e3  # m, to which an apsis is met (our choice)
MOST = 16  # burns before the last (our choice)
LEAST = 1.0  # m/s: a smaller burn is not made (our choice)
RAISE, LOWER = "burn to raise the apogee", "burn to lower the perigee"


class _Aimed(NamedTuple):
    """The apogee from which the burn down is short, and the perigee before it [m, radii]."""

    top: float
    floor: float


class _Step(NamedTuple):
    """What burns have led to, so far: the burns, the coasts before them, the craft, its engine."""

    burns: tuple[WayBurn, ...]
    arcs: tuple[Arc, ...]
    way: OnTheWay
    pushes: Pushing

    @property
    def orbit(self) -> Conic:
        return conic(self.way.now.r, self.way.now.v, c.MU_EARTH)


def in_several_burns(
    way: OnTheWay, pushes: Pushing, area: Recovery | None = None
) -> Iterator[WayOut]:
    """Yield the way down by several burns of an engine that has enough, and not the thrust for one.

    The first of the apogees from which it leads down, and to an `area` from there; none where
    there is none.
    """
    for aimed in _aims(way, pushes):
        try:
            step = _lowered(_raised(_Step((), (), way, pushes), aimed.top), aimed.floor)
        except ArithmeticError:
            continue
        found = deorbited(step.way, step.pushes)
        if found.burns and not found.closed and step.burns:
            yield _told(way, step, found)
            there = area and deorbited(step.way, step.pushes, area)
            if there and not there.closed:
                yield _told(way, step, there)
            return


def _told(way: OnTheWay, step: _Step, found: WayOut) -> WayOut:
    burns = (*step.burns, *found.burns)
    return replace(
        found,
        name=f"{found.name} in {len(burns)} burns",
        called=way.called,
        burns=burns,
        note="; ".join(x for x in (down_from(step.orbit), found.note) if x),
        arcs=(*step.arcs, *found.arcs),
    )


def _aims(way: OnTheWay, pushes: Pushing) -> Iterator[_Aimed]:
    """Yield the apogees from which the burn down is short enough, by conics, the lowest first."""
    orbit = conic(way.ready.r, way.ready.v, c.MU_EARTH)
    low, high = orbit.periapsis, orbit.a * (1.0 + orbit.e)
    floor = min(low, c.R_EARTH + way.flight.scenario.aborts.safe_orbit)
    for top in (high, *(c.R_EARTH + x for x in TOPS if c.R_EARTH + x > high + CLOSE)):
        up = _speed(low, low, top) - _speed(low, low, high)
        lower = _speed(top, top, low) - _speed(top, top, floor)
        down = _speed(top, top, floor) - _speed(top, top, _perigee(top))
        lasts = pushes.lasts(up + lower + down) - pushes.lasts(up + lower)
        if up + lower + down > pushes.available:
            return
        if lasts * _speed(top, top, floor) / top < ARC:
            yield _Aimed(top, floor)


def _speed(radius: float, one: float, other: float) -> float:
    """Return the speed [m/s] at a radius of the ellipse between two [m]."""
    return speed(radius, (one + other) / 2.0, c.MU_EARTH)


def _perigee(top: float) -> float:
    """Return the perigee [m] of the ellipse from a top to the shallowest entry that is tried."""
    perigee = INTERFACE_RADIUS
    for _ in range(8):
        perigee = perigee_for(max(SHALLOWER), INTERFACE_RADIUS, (top + perigee) / 2.0)
    return perigee


def _raised(step: _Step, top: float) -> _Step:
    """Return the craft with its apogee raised to a radius [m] by burns about its perigee."""
    for _ in range(MOST):
        orbit = step.orbit
        high = orbit.a * (1.0 + orbit.e)
        if high > top - CLOSE:
            break
        low = orbit.periapsis
        step = _burned(step, RAISE, _speed(low, low, top) - _speed(low, low, high), 1.0)
    return step


def _lowered(step: _Step, floor: float) -> _Step:
    """Return the craft with its perigee lowered to a radius [m] by burns about its apogee."""
    for _ in range(MOST):
        orbit = step.orbit
        low, high = orbit.periapsis, orbit.a * (1.0 + orbit.e)
        size = _speed(high, high, low) - _speed(high, high, floor)
        if low < floor + CLOSE or size < LEAST:
            break
        step = _burned(step, LOWER, size, -1.0)
    return step


def _burned(step: _Step, what: str, size: float, sense: float) -> _Step:
    """Return the next step: a burn of up to a `size` [m/s] along the velocity, or against it.

    About the perigee, or against it about the apogee; of a circle as soon as can be.
    """
    way, pushes, orbit = step.way, step.pushes, step.orbit
    size = min(size, most_in_one_burn(pushes, orbit, sense))
    here = way.after(_wait(step, sense, pushes.lasts(size)))
    then = burned_on(way, pushes, here, size, thrust_arc.along_velocity(sense))
    lit = here.t - way.state.lift_off
    made = WayBurn(
        f"{what}, {len(step.burns) + 1}", *pushes.burner.key, lit, size, pushes.available
    )
    arc = Arc(way.now.r, way.now.v, way.now.t, here.t)
    own = next((x for x, _ in pushing(then) if x.burner.key == pushes.burner.key), None)
    if own is None:
        raise ArithmeticError("its tanks are empty")
    return _Step((*step.burns, made), (*step.arcs, arc), then, own)


def most_in_one_burn(pushes: Pushing, orbit: Conic, sense: float) -> float:
    """Return the velocity [m/s] that an engine gives in the arc of one burn."""
    radius = orbit.periapsis if sense > 0.0 else orbit.a * (1.0 + orbit.e)
    pace = speed(radius, orbit.a, c.MU_EARTH)
    drawn = min(pushes.burner.flow * ARC * radius / pace, 0.9 * pushes.mass)
    return -pushes.burner.isp * c.G0 * log1p(-drawn / pushes.mass)


def _wait(step: _Step, sense: float, lasts: float) -> float:
    """Return the time [s] to the beginning of a burn about an apsis; READY at least at first."""
    orbit, soonest = step.orbit, READY if not step.burns else c.MINUTE
    if orbit.e < ROUND:
        return soonest
    turn = period(orbit.a, c.MU_EARTH)
    apsis = -orbit.since_periapsis if sense > 0.0 else turn / 2.0 - orbit.since_periapsis
    return soonest + (apsis - lasts / 2.0 - soonest) % turn
