"""A climb in which one engine of a stage stops, found from those in which it stops later.

The later it stops the nearer the climb is to the planned one. So the aim above the air is followed
from there, step by step, towards the time that is asked for: far from the planned aim a search that
begins with it, or with a rough one, may find no orbit where there is one (numerical continuation).
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import ceil

from mplan.physics.climb.launch_climb import LaunchClimb, fly_climb
from mplan.physics.climb.launch_vehicle import Dispersions
from mplan.vehicle.same import Same

STEP = 20.0  # s, from one aim to the next (our choice)


def climb_with_engine_out(
    planned: LaunchClimb, stage: int, since: float, radius: float = 0.0
) -> LaunchClimb:
    """Return the climb with one engine of a stage (from zero) stopped, `since` [s] its ignition.

    To the planned orbit, or to a circle of `radius` [m] where that is not zero. Held in the air to
    the planned attitudes, by height; see `fly_climb`.
    """
    later = _followed(Same(planned), stage, ceil(since / STEP), radius)
    return _flown(planned, later, stage, since, radius)


@lru_cache(maxsize=512)
def _followed(of: Same[LaunchClimb], stage: int, step: int, radius: float) -> LaunchClimb:
    """Return the climb whose engine stops at a step; once its stage is burned out the planned."""
    planned = of.it
    if stage >= len(planned.parts):
        return planned
    part = planned.parts[stage]
    if step * STEP >= part.cut_off - part.ignition:
        return planned
    later = _followed(of, stage, step + 1, radius)
    return _flown(planned, later, stage, step * STEP, radius)


def _flown(
    planned: LaunchClimb, later: LaunchClimb, stage: int, since: float, radius: float
) -> LaunchClimb:
    """Return the climb, its aim sought from that of one in which the engine stops later."""
    launch = replace(planned.launch, radius=radius) if radius else planned.launch
    steering = replace(planned.steering, aim=later.steering.aim)
    out = Dispersions(engine_out=(stage, since))
    return fly_climb(planned.vehicle, launch, steering, out)
