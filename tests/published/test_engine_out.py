"""A climb that lost an engine, as flown: a large three-stage vehicle of 1970.

The centre engine of the second stage stopped 132 s before its time. The four others burned 34 s
longer than planned, the stage gave 68 m/s less, and the third stage's burn to orbit was 9 s
longer. Figures of NASA SP-2000-4029 as public copies print them; its flight evaluation report is
MPR-SAT-FE-70-2 (number from memory). The vehicle is that of a flight before (`test_climbs`).
"""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from mplan.physics.climb import optimum
from mplan.physics.climb.launch_climb import LaunchClimb, fly_climb
from mplan.physics.climb.launch_vehicle import Dispersions, EngineOut, Launch, LaunchVehicle, Motor
from tests.published.test_climbs import SECOND_CENTRE_OUT, SECOND_LIT, flown_vehicle

SOONER, LONGER, SLOWER, THIRD_LONGER = 132.0, 34.0, 68.0, 9.0  # s, s, m/s, s


def five_engines() -> LaunchVehicle:
    """The vehicle with all five engines of its second stage on one set of tanks, as built."""
    large = flown_vehicle()
    first, second, third = large.stages
    (centre,) = second.boosters
    five = Motor(5, second.motor.thrust + centre.motor.thrust, 5.16e6, 424.4, 1.5)
    tanks = second.propellant + centre.propellant
    stages = first, replace(second, motor=five, propellant=tanks, boosters=()), third
    return replace(large, stages=stages)


@pytest.fixture(scope="module")
def both() -> tuple[LaunchClimb, LaunchClimb]:
    """The climb with the centre engine shut down as planned, and with it shut down sooner."""
    pad = Launch(radians(28.608), radians(73.57), 6563.07e3, hold_down=0.0)
    vehicle = five_engines()
    best = optimum.best_climb(vehicle, pad, "a large three-stage vehicle")
    lasts = SECOND_CENTRE_OUT - SECOND_LIT

    def flown(after: float) -> LaunchClimb:
        out = Dispersions(engine_out=EngineOut(1, after))
        return fly_climb(vehicle, pad, best.steering, out)

    return flown(lasts), flown(lasts - SOONER)


def test_it_reached_orbit(both):
    assert all(each.reached for each in both)


def test_the_others_burned_longer(both):
    """34 s: what one engine left, burned by four. 5 %: their mixture was shifted later too."""
    planned, early = (each.parts[1].cut_off for each in both)
    assert early - planned == pytest.approx(LONGER, rel=0.05)


def test_the_stage_gave_less(both):
    """68 m/s less at its cut-off, by gravity: a third, for the steering after it is ours."""
    planned, early = (
        next(x for x in each.track.events if (x.what, x.name) == ("burn-out", "second"))
        for each in both
    )
    assert planned.airspeed - early.airspeed == pytest.approx(SLOWER, rel=0.33)


def test_the_third_stage_burned_longer(both):
    """9 s longer: 4 s. The 68 m/s alone take 11 s at the 6 m/s2 that this stage gives at first.

    What it gave beyond its prediction that day is in the nine, and is not known here.
    """
    planned, early = (each.parts[2].cut_off - each.parts[2].ignition for each in both)
    assert early - planned == pytest.approx(THIRD_LONGER, abs=4.0)
