"""Ways out of a lander on its way down: back to the ship by either stage, or the ship comes.

Before ignition it is in orbit, and phases; while it brakes it aborts to a safe orbit, as
`descent_aborts` has it, and goes on from there; where no engine has enough alone, two in turn.
A ship that lands whole goes home from its orbit.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from mplan.contingencies import descent_aborts
from mplan.contingencies.ways_out.at_the_moon import surface
from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import Leaving, ways_home
from mplan.contingencies.ways_out.at_the_moon.now import lander_orbit, state_at
from mplan.contingencies.ways_out.at_the_moon.rejoin import (
    Apart,
    back_to_ship,
    beside_ship,
    lacks,
    spent,
)
from mplan.contingencies.ways_out.at_the_moon.ships_rescue import rescue_of
from mplan.contingencies.ways_out.burners import Burner, LostEngines, burners, uncontrolled
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import DOCKED, SPLASH, WayBurn, WayOut
from mplan.flight.descent import site
from mplan.flight.record import BurnRecord
from mplan.flight.state import Craft, State
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.bodies import lunar_axes, selenography
from mplan.physics.burns.linear_tangent import LunarState, SteadyThrust
from mplan.physics.landing.descent import DescentFlight
from mplan.physics.landing.descent_abort import AbortClimb, abort_climb, abort_in_turn
from mplan.physics.vectors import cross
from mplan.vehicle.evolved import evolved

TOO_LATE = "it hits the ground before its fall is stopped"
DESCENT = "powered descent"


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin between undocking, or its descent orbit, and touchdown."""
    burn, descent = point.burning, point.passage.after.descent
    if burn is not None and burn.leg == DESCENT and descent is not None:
        yield from _braking(point, lost, burn, descent)
    else:
        yield from _coasting(point, lost)


def _coasting(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out before ignition for the powered descent."""
    state = state_at(point)
    craft, orbit = state.joined(point.cabin), _orbit_now(point, state)
    if point.flight.end.rendezvous is None:
        yield from _whole_home(point, lost, state, craft, orbit)
        return
    apart = Apart(point.flight, state, craft, orbit, state.orbit, point.elapsed, lost)
    if before_parting(point):
        yield from beside_ship(apart)
        return
    for burner in burners(state, craft, lost):
        if burner.rated(state).purpose == "main":
            alone = tuple(x for x in craft if x not in burner.first)
            own = apart._replace(state=state.without(burner.first), craft=alone)
            yield back_to_ship(own, f"phasing and rendezvous by {burner.title}", burner)
    yield rescue_of(point.flight, orbit, state.orbit, craft, point.elapsed)


def before_parting(point: CabinPoint) -> bool:
    """Tell whether the lander still goes round beside the ship."""
    burn = point.passage.burn
    return point.before.lander is None and (burn is None or point.elapsed < burn.elapsed)


def _orbit_now(point: CabinPoint, state: State) -> LunarOrbit:
    """Return the lander's orbit now; while its descent-orbit burn is on, with its part of that."""
    burn, before = point.burning, point.passage
    if burn is None or before.after.lander is None or before.before.lander is not None:
        return lander_orbit(state)
    whole = before.after.lander
    share = (point.elapsed - burn.elapsed) / burn.duration
    here = coast(state.orbit, whole.t - state.t)
    part = here._replace(v=here.v + share * (whole.v - here.v))
    return coast(part, state.t - part.t)


def _whole_home(
    point: CabinPoint, lost: LostEngines, state: State, craft: Craft, orbit: LunarOrbit
) -> Iterator[WayOut]:
    """Yield the ways home of a craft for which no ship waits."""
    yield from ways_home(
        Leaving(point.flight, state, craft, orbit, point.before, point.elapsed, lost)
    )


class _Abort(NamedTuple):
    """An abort to orbit: by which engine, of what craft, what it has; after the staging [s].

    `title` is that of both engines of an abort by two in turn, the second being the burner.
    """

    burner: Burner
    state: State
    craft: Craft
    staging: float
    title: str = ""

    @property
    def name(self) -> str:
        return f"abort to orbit by {self.title or self.burner.title}"

    @property
    def push(self) -> SteadyThrust:
        return SteadyThrust(self.burner.thrust, self.burner.isp, self.state.mass(self.craft))


def _braking(
    point: CabinPoint, lost: LostEngines, burn: BurnRecord, descent: DescentFlight
) -> Iterator[WayOut]:
    """Yield the ways out while the powered descent is on."""
    track, since = descent.track, point.elapsed - burn.elapsed
    i = int(np.clip(np.searchsorted(track.t, since, side="right") - 1, 0, len(track.t) - 1))
    braked = _braked(point, burn, float(track.mass[i]))
    alone = [
        way
        for abort in _aborts(point, lost, braked)
        for way in _aborted(point, lost, burn, descent, i, abort)
    ]
    yield from alone
    if all(x.closed for x in alone):
        for first in _aborts(point, lost, braked):
            yield from _in_turn(point, lost, burn, descent, i, first)
    if (burn.element, burn.engine) not in lost.gone:
        yield from surface.after_touchdown(point, lost)


def _braked(point: CabinPoint, burn: BurnRecord, mass: float) -> State:
    """Return the state while the descent engine burns and the craft weighs `mass` [kg]."""
    engine = burn.at_ignition
    by = engine.scenario.elements[burn.element].engines[burn.engine]
    drawn = min(max(0.0, burn.mass - mass), engine.ledger.usable(burn.element, by))
    since = point.elapsed - burn.elapsed
    ledger = engine.ledger.after_burn(burn.element, burn.engine, by, drawn, since)
    return evolved(state_at(point), ledger=ledger)


def _aborts(
    point: CabinPoint, lost: LostEngines, braked: State, purposes: Sequence[str] = ("main",)
) -> Iterator[_Abort]:
    """Yield the engines that may bring the craft back to orbit from a state."""
    staging = point.flight.scenario.descent.staging_time
    for burner in burners(braked, braked.joined(point.cabin), lost):
        if burner.rated(braked).purpose in purposes:
            left = braked.without(burner.first)
            alone = left.joined(point.cabin)
            yield _Abort(burner, left, alone, staging if burner.first else 0.0)


def _aborted(
    point: CabinPoint,
    lost: LostEngines,
    burn: BurnRecord,
    descent: DescentFlight,
    i: int,
    abort: _Abort,
) -> Iterator[WayOut]:
    """Yield the ways that an abort to orbit opens: to the ship, with its help, or home."""
    flight, safe = point.flight, descent_aborts.safe(point.flight)
    axes, still = _still(point.passage.before, burn, descent, i)
    flown = abort_climb(still, abort.push, abort.staging, safe)
    there = abort.burner.available(abort.state, abort.craft)
    ends = SPLASH if flight.end.rendezvous is None else DOCKED
    shut = WayOut(abort.name, point.elapsed, abort.craft, ends=ends)
    if flown is None:
        yield replace(shut, closed=TOO_LATE)
        return
    at = point.elapsed + abort.staging
    climb = WayBurn("abort to orbit", *abort.burner.key, at, flown.delta_v, there)
    wrong = lacks(climb) if climb.margin < 0.0 else ""
    if abort.burner.less:  # of a whole cluster the plan's own burns have the same control
        wrong = wrong or uncontrolled(flight, abort.state, abort.craft, abort.burner)
    if wrong:
        yield replace(shut, burns=(climb,), closed=wrong)
        return
    orbit = _orbit_after(axes, flown, flight.end.lift_off + point.elapsed, abort)
    state = spent(abort.state, abort.craft, abort.burner, flown.delta_v)
    yield from _after_abort(point, lost, abort, state, orbit, (climb,) if climb.required else ())


def _in_turn(
    point: CabinPoint,
    lost: LostEngines,
    burn: BurnRecord,
    descent: DescentFlight,
    i: int,
    first: _Abort,
) -> Iterator[WayOut]:
    """Yield the ways that two engines in turn open where the first has too little alone.

    It is lit, or is once the stages have parted; what only it needed is then left behind.
    """
    has = first.burner.available(first.state, first.craft)
    there = min(has, first.burner.within_rating(first.state, first.craft))
    if first.staging or there <= 0.0:  # the second would part from what is gone already
        return
    flight, safe = point.flight, descent_aborts.safe(point.flight)
    axes, still = _still(point.passage.before, burn, descent, i)
    used = spent(first.state, first.craft, first.burner, there)
    for then in _aborts(point, lost, used, ("main", "thrusters")):
        flown = abort_in_turn(still, first.push, there, then.push, then.staging, safe)
        if then.burner.key == first.burner.key or flown is None:
            continue
        risen, climb = flown
        at = point.elapsed + risen.duration
        rest = then.burner.available(then.state, then.craft)
        burns = (
            WayBurn("abort to orbit", *first.burner.key, point.elapsed, there, has),
            WayBurn("rest of the abort", *then.burner.key, at + then.staging, climb.delta_v, rest),
        )
        whole = climb._replace(duration=risen.duration + climb.duration)
        orbit = _orbit_after(axes, whole, flight.end.lift_off + point.elapsed, then)
        both = then._replace(title=f"{first.burner.title}, then {then.burner.title}")
        if burns[1].margin < 0.0:
            ends = SPLASH if flight.end.rendezvous is None else DOCKED
            yield WayOut(both.name, point.elapsed, then.craft, burns, ends, closed=lacks(burns[1]))
            continue
        state = spent(then.state, then.craft, then.burner, climb.delta_v)
        yield from _after_abort(point, lost, both, state, orbit, burns)


def _after_abort(
    point: CabinPoint,
    lost: LostEngines,
    abort: _Abort,
    state: State,
    orbit: LunarOrbit,
    burns: tuple[WayBurn, ...],
) -> Iterator[WayOut]:
    flight = point.flight
    then = state.later(orbit.t - state.t)
    if flight.end.rendezvous is None:
        leaving = Leaving(flight, then, abort.craft, orbit, point.before, point.elapsed, lost)
        for way in ways_home(leaving):
            yield replace(way, name=f"{abort.name}, then {way.name}", burns=(*burns, *way.burns))
        return
    apart = Apart(
        flight, then, abort.craft, orbit, then.orbit, point.elapsed, lost, burns, level=True
    )
    yield back_to_ship(apart, f"{abort.name}, then rendezvous", abort.burner)
    rescued = rescue_of(flight, orbit, then.orbit, abort.craft, point.elapsed)
    yield replace(
        rescued, name=f"{abort.name}, then {rescued.name}", burns=(*burns, *rescued.burns)
    )


def _still(
    before: State, burn: BurnRecord, descent: DescentFlight, i: int
) -> tuple[np.ndarray, LunarState]:
    """Return axes (3, 3) of the descent then, from ICRF, and the state in them as they stand still.

    The axes of the descent turn with the Moon (`whereabouts.at_the_moon`).
    """
    assert before.lander is not None
    orbit = coast(before.lander, before.t - before.lander.t)
    axes = lunar_axes.site_axes(site(before), orbit.normal, before.t)
    place, velocity = descent.track.place[i], descent.track.velocity[i]
    t = before.lift_off + burn.elapsed + float(descent.track.t[i])
    turned = axes.matrix @ selenography.moon_fixed_axes(axes.t).T @ selenography.moon_fixed_axes(t)
    pace = velocity + cross(np.array(descent.spin), place)
    (x, y, z), (u, v, w) = place.tolist(), pace.tolist()
    return turned, (x, y, z, u, v, w)


def _orbit_after(axes: np.ndarray, flown: AbortClimb, called: float, abort: _Abort) -> LunarOrbit:
    """Return the orbit in which an abort ends, about the Moon's centre, ICRF axes."""
    r, v = np.array(flown.end[:3]) @ axes, np.array(flown.end[3:]) @ axes
    degree = abort.state.orbit.degree
    return LunarOrbit(called + flown.duration, r, v, degree)
