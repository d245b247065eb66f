"""Vehicles that lead nowhere: the search for their climb ends after a bounded number of steps."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from mplan.physics import constants as c
from mplan.physics.climb import course, optimum, stretch
from mplan.physics.climb.launch_vehicle import Booster, Launch, LaunchVehicle, Motor, Stage
from mplan.physics.climb.steering import HELD, SteeringLaw

FIRST = Stage("first", Motor(6, 32.7e6, 29.88e6, 326.0, 2.0), 1.70e6, 128e3)
SECOND = Stage("second", Motor(5, 5.4e6, 5.4e6, 441.0, 2.0), 257e3, 33e3, 4.0)
THIRD = Stage("third", Motor(1, 980e3, 980e3, 449.0, 2.0), 96.6e3, 0.0, 6.0)
STACK = LaunchVehicle(2.277e6, (FIRST, SECOND, THIRD), 66.5)
PAD = Launch(radians(-19.98), radians(76.0), c.R_EARTH + 185e3)
MOST = 300_000  # steps: 12 angles, each from 8 corrections of 6 flights of 500 steps


def _loaded(index: int, factor: float) -> LaunchVehicle:
    """The stack with a stage's propellant multiplied, its dry mass as it was."""
    stage = STACK.stages[index]
    more = (factor - 1.0) * stage.propellant
    stages = list(STACK.stages)
    stages[index] = replace(stage, propellant=stage.propellant + more)
    return replace(STACK, mass=STACK.mass + more, stages=tuple(stages))


def _pushed(index: int, factor: float) -> LaunchVehicle:
    """The stack with a stage's thrust multiplied."""
    stages = list(STACK.stages)
    motor = stages[index].motor
    changed = replace(
        motor, thrust=factor * motor.thrust, thrust_sea_level=factor * motor.thrust_sea_level
    )
    stages[index] = replace(stages[index], motor=changed)
    return replace(STACK, stages=tuple(stages))


def _alone() -> LaunchVehicle:
    """The first stage with the rest as dead weight."""
    return replace(STACK, stages=(FIRST,))


def _boosted() -> LaunchVehicle:
    """A core that holds almost nothing beside a booster that burns on."""
    motor = Motor(2, 12e6, 11e6, 290.0, 1.0)
    stage = replace(FIRST, propellant=9e3, boosters=(Booster("side", motor, 400e3, 40e3),))
    mass = STACK.mass - FIRST.propellant + 9e3 + 440e3
    return replace(STACK, mass=mass, stages=(stage, SECOND, THIRD))


BROKEN = {
    **{f"stage {i} holds {f:g}": _loaded(i, f) for i in range(3) for f in (0.5, 0.1, 0.02, 0.003)},
    **{f"stage {i} pushes {f:g}": _pushed(i, f) for i in (1, 2) for f in (0.5, 0.05, 1e-4, 1e-9)},
    "barely lifts off": _pushed(0, 0.7481),
    "pushes too well": _pushed(0, 40.0),
    "wide as a field": replace(STACK, area=1e5),
    "one stage": _alone(),
    "a core without propellant": _boosted(),
}


@pytest.mark.parametrize("vehicle", BROKEN.values(), ids=BROKEN.keys())
def test_the_search_ends(vehicle, monkeypatch):
    """Steps are counted, not time: what a slow machine does in a minute another does in seconds."""
    taken, one = [0], course.fly_stretch

    def counted(*args):
        found = one(*args)
        taken[0] += found[3]
        if taken[0] > MOST:
            pytest.fail(f"{MOST} steps, and no end")
        return found

    monkeypatch.setattr(course, "fly_stretch", counted)
    flown = optimum.best_climb(vehicle, PAD, "a broken stack")
    assert flown.reached or flown.trouble
    assert flown.duration < stretch.LONGEST + course.STEP_ABOVE


def test_a_course_that_stands_still_ends():
    """A flight of tiny steps is given up, not flown for ever."""
    vehicle = _pushed(1, 1e-9)
    flown = course.Course(vehicle, optimum.launch_climb.NOMINAL, 0.0, _in_orbit())
    flown.index = 0
    flown.ignite()
    with pytest.raises(course.NoInsertion, match=r"no orbit is reached within \d+ min"):
        flown.burn(SteeringLaw(HELD, (0.0, 1.0, 0.0)))


def _in_orbit() -> tuple[float, ...]:
    radius = c.R_EARTH + 300e3
    return (radius, 0.0, 0.0, 0.0, 7.7e3, 0.0, 400e3, 0.0, 0.0, 0.0, 0.0, 0.0)
