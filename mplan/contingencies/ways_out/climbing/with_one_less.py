"""One engine of a stage or booster stops in the climb, and the climb goes on with the others.

The whole climb is flown again from the pad, the engine stopping when it does: in the air it holds
the plan's attitudes, above it the vehicle aims for its orbit with what it then has. Where that is
not reached it aims for the lowest safe orbit; where that is not either, the ship goes on alone
from where the thrust ends, if it can. The vehicle has to be held straight all the way (`held`):
where it cannot be, the climb is lost from there, and what is left is an abort before. Crew safety
rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np

from mplan.contingencies.abort_to_orbit import AIR_ENDS, onward
from mplan.contingencies.climb_aborts import abort_modes
from mplan.contingencies.climb_point import ClimbPoint
from mplan.contingencies.engine_out import climb_with_engine_out
from mplan.contingencies.held import FINE, ControlHeld, judged
from mplan.contingencies.return_to_splash import splash_mode
from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.climbing.modes import IN_ORBIT, LEVEL, told
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import Craft
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import EngineOut
from mplan.physics.constants import R_EARTH
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import main_engine
from mplan.vehicle.same import Same
from mplan.vehicle.stack import crew_module, with_role

CONTROL = "control: criteria of [control], times margin_factor; moments of inertia are estimates"


def engines_of(
    flight: Flight, elapsed: float, burn: BurnRecord, lost: LostEngines
) -> tuple[EngineOut, ...]:
    """Return each engine that may be the one to stop, `elapsed` since lift-off.

    One of the cluster of the stage that burns or comes next, and one of every booster that is
    still beside it then, a body's only one too. An engine of a stage that is alone leaves no climb.
    """
    if burn.leg != "climb":
        return ()
    planned = flight.end.climb
    names = [x.name for x in planned.vehicle.stages]
    stage = names.index(burn.element)
    out = EngineOut(stage, max(0.0, elapsed - planned.parts[stage].ignition))
    core = (out,) if (burn.element, burn.engine) in lost.fewer else ()
    there = [x for x in planned.vehicle.stages[stage].boosters if out.after < x.burn_time()]
    return (*core, *(out._replace(booster=x.name) for x in there))


def climbs_on(at: ClimbPoint, elapsed: float, out: EngineOut) -> Iterator[WayOut]:
    """Yield the ways on to orbit once one engine has stopped, `elapsed` since lift-off.

    `at` is the last point of the climb by then.
    """
    planned = at.flight.end.climb
    element = out.booster or planned.vehicle.stages[out.stage].name
    name = f"climb with one engine of the {plain(element)} less"
    safe = R_EARTH + at.scenario.aborts.safe_orbit
    way = WayOut(name, elapsed, _in_orbit(at), ends=IN_ORBIT, estimate=CONTROL)
    flown = climb_with_engine_out(planned, out)
    if safe < planned.launch.radius and not flown.reached:
        flown = climb_with_engine_out(planned, out, safe)
        way = replace(way, name=f"{name}, to an orbit of {(safe - R_EARTH) / 1e3:.0f} km")
    control = _held(Same(at.flight), out, Same(flown))
    if flown.reached and control.lost is None:
        yield replace(way, note="; ".join(filter(None, (_left(flown, planned), control.words))))
        return
    lost = control.words if control.lost is not None else ""
    yield replace(way, closed="; ".join(filter(None, (flown.trouble, lost))))
    if control.lost is not None:
        yield from _before_it_is_lost(at, elapsed, flown, control, name)
        return
    yield from _alone(at, elapsed, flown, f"{name}, then the ship alone")
    end = ClimbPoint(at.flight, len(flown.track.t) - 1, flown.track, at.state)
    yield from _open(at, [told(end, splash_mode(end), end.t)], elapsed, f"{name}, then")


@lru_cache(maxsize=64)  # the same for the margins of a look
def _held(of: Same[Flight], out: EngineOut, flown: Same[LaunchClimb]) -> ControlHeld:
    return judged(of.it, out, flown.it)


def _in_orbit(at: ClimbPoint) -> Craft:
    """Return what the plan has in orbit: its last stage of the climb and all above it."""
    return [x for x in at.flight.burns if x.leg == "climb"][-1].at_cut_off.craft[0]


def _left(flown: LaunchClimb, planned: LaunchClimb) -> str:
    """Return what the last stage then has, and when it is there, beside the plan's."""
    last = plain(planned.vehicle.stages[-1].name)
    late = flown.duration - planned.duration
    return (
        f"{flown.left / 1e3:.1f} t left in the {last} at insertion, {planned.left / 1e3:.1f} t "
        f"planned; {late:.0f} s later"
    )


def _before_it_is_lost(
    at: ClimbPoint, elapsed: float, flown: LaunchClimb, control: ControlHeld, name: str
) -> Iterator[WayOut]:
    """Yield what is open just before control is lost; what is so at the failure is told anyway."""
    if control.lost is None or control.lost <= elapsed + FINE:
        return
    index = int(np.searchsorted(flown.track.t, control.lost, side="right")) - 1
    last = ClimbPoint(at.flight, index, flown.track, control.left)
    ways = [told(last, mode, control.lost) for mode in abort_modes(last)]
    yield from _open(at, ways, elapsed, f"{name} until {control.lost:.0f} s after lift-off, then")


def _open(at: ClimbPoint, ways: list[WayOut], elapsed: float, name: str) -> Iterator[WayOut]:
    """Yield the ways that are open, called at the failure, with what comes before them."""
    for way in ways:
        if not way.closed:
            yield replace(way, name=f"{name} {way.name}", called=elapsed)


def _alone(at: ClimbPoint, elapsed: float, flown: LaunchClimb, name: str) -> Iterator[WayOut]:
    """Yield the way on of the ship alone, from where the thrust of the climb ends above the air."""
    home, service = crew_module(at.scenario), with_role(at.scenario, "service module")
    if service is None or not main_engine(at.scenario.elements[service]):
        return
    if flown.track.altitude[-1] > AIR_ENDS:
        mode = onward(flown.track, -1, at.state, name, (service, home), [service])
        yield WayOut(
            name=name,
            called=elapsed,
            craft=(service, home),
            ends=IN_ORBIT,
            closed=mode.closed,
            note=mode.figure,
            estimate=LEVEL,
        )
