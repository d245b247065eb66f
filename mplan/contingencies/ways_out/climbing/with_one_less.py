"""One engine of a cluster stops in the climb, and the climb goes on with the others.

The whole climb is flown again from the pad, the engine stopping when it does: in the air it holds
the plan's attitudes, above it the vehicle aims for its orbit with what it then has. Where that is
not reached it aims for the lowest safe orbit; where that is not either, the ship goes on alone
from where the thrust ends, if it can. Of boosters no engine is lost. Crew safety rests on this: a
planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.contingencies.abort_to_orbit import AIR_ENDS, onward
from mplan.contingencies.climb_point import ClimbPoint
from mplan.contingencies.engine_out import climb_with_engine_out
from mplan.contingencies.ways_out.burners import LostEngines, burners, uncontrolled
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import BurnRecord
from mplan.flight.state import Craft
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import EngineOut
from mplan.physics.constants import R_EARTH
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import main_engine
from mplan.vehicle.stack import crew_module, with_role

IN_ORBIT = "in orbit"  # from where the ways out of an orbit about Earth go on
LEVEL = "level flight with the thrust of its beginning, on the safe side"


def climbs_on(
    at: ClimbPoint, elapsed: float, burn: BurnRecord, lost: LostEngines
) -> Iterator[WayOut]:
    """Yield the ways on to orbit once one engine of a stage has stopped, `elapsed` since lift-off.

    `at` is the last point of the climb by then, `burn` that stage's, which burns or comes next.
    Nothing where it has one engine alone.
    """
    key = burn.element, burn.engine
    if key not in lost.fewer or burn.leg != "climb":
        return
    name = f"climb with one engine of the {plain(burn.element)} less"
    planned = at.flight.end.climb
    stage = [x.name for x in planned.vehicle.stages].index(burn.element)
    since = max(0.0, elapsed - planned.parts[stage].ignition)
    shut = WayOut(name, elapsed, _in_orbit(at), ends=IN_ORBIT, closed=_astray(at, burn, lost))
    if shut.closed:
        yield shut
        return
    flown = climb_with_engine_out(planned, EngineOut(stage, since))
    if flown.reached:
        yield replace(shut, note=_left(flown, planned))
        return
    safe = R_EARTH + at.scenario.aborts.safe_orbit
    height = ""
    if safe < planned.launch.radius:
        flown = climb_with_engine_out(planned, EngineOut(stage, since), safe)
        height = f", to an orbit of {(safe - R_EARTH) / 1e3:.0f} km"
    if flown.reached:
        yield replace(shut, name=name + height, note=_left(flown, planned))
        return
    yield replace(shut, name=name + height, closed=flown.trouble)
    yield from _alone(at, elapsed, flown, f"{name}, then the ship alone")


def _astray(at: ClimbPoint, burn: BurnRecord, lost: LostEngines) -> str:
    """Return why the others do not hold the vehicle straight, "" where they do."""
    craft = at.stack
    for each in burners(at.state, craft, lost):
        if each.key == (burn.element, burn.engine):
            return uncontrolled(at.flight, at.state, craft, each)
    return ""


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
