"""A climb in which an engine of a stage or booster stops, found from those in which it stops later.

The later it stops the nearer the climb is to the planned one. So the aim above the air is followed
from there, step by step, towards the time that is asked for: far from the planned aim a search that
begins with it, or with a rough one, may find no orbit where there is one (numerical continuation).
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import ceil

from mplan.physics.climb.launch_climb import LaunchClimb, fly_climb
from mplan.physics.climb.launch_vehicle import Dispersions, EngineOut
from mplan.vehicle.same import Same

STEP = 20.0  # s, from one aim to the next (our choice)


def climb_with_engine_out(planned: LaunchClimb, out: EngineOut, radius: float = 0.0) -> LaunchClimb:
    """Return the climb with one engine stopped.

    To the planned orbit, or to a circle of `radius` [m] where that is not zero. Held in the air to
    the planned attitudes, by height; see `fly_climb`.
    """
    later = _followed(Same(planned), out._replace(after=0.0), ceil(out.after / STEP), radius)
    return _flown(planned, later, out, radius)


@lru_cache(maxsize=512)
def _followed(of: Same[LaunchClimb], engine: EngineOut, step: int, radius: float) -> LaunchClimb:
    """Return the climb in which an engine stops at a step; once it has burned out the planned."""
    planned, out = of.it, engine._replace(after=step * STEP)
    if out.after >= _burns(planned, out):
        return planned
    later = _followed(of, engine, step + 1, radius)
    return _flown(planned, later, out, radius)


def _burns(planned: LaunchClimb, out: EngineOut) -> float:
    """Return how long [s] an engine burns in the plan; zero in a stage that it does not light."""
    if out.stage >= len(planned.parts):
        return 0.0
    beside = planned.vehicle.stages[out.stage].boosters
    part = planned.parts[out.stage]
    lasts = (x.burn_time() for x in beside if x.name == out.booster)
    return next(lasts, part.cut_off - part.ignition)


def _flown(planned: LaunchClimb, later: LaunchClimb, out: EngineOut, radius: float) -> LaunchClimb:
    """Return the climb, its aim sought from that of one in which the engine stops later."""
    launch = replace(planned.launch, radius=radius) if radius else planned.launch
    steering = replace(planned.steering, aim=later.steering.aim)
    return fly_climb(planned.vehicle, launch, steering, Dispersions(engine_out=out))
