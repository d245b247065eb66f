"""An engine of a booster stops in the climb: thrust, flow, and what is dropped with it."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from mplan.physics import constants as c
from mplan.physics.climb import optimum
from mplan.physics.climb.launch_climb import LaunchClimb, fly_climb, fly_programmed
from mplan.physics.climb.launch_vehicle import (
    Booster,
    Dispersions,
    EngineOut,
    Launch,
    LaunchVehicle,
    Motor,
    Stage,
)
from mplan.physics.climb.stage_burns import burned_on_pad

PAIR = Booster("pair", Motor(8, 21.6e6, 19.6e6, 338.0), 1.0e6, 60e3, 0.0, 2)
CORE = Stage("core", Motor(3, 8.1e6, 7.3e6, 338.0), 700e3, 50e3, 0.0, (PAIR,))
UPPER = Stage("upper", Motor(1, 1.6e6, 1.6e6, 450.0), 190e3, 0.0, 4.0)
STACK = LaunchVehicle(2.2e6, (CORE, UPPER), 66.5)
PAD = Launch(radians(10.0), radians(90.0), c.R_EARTH + 200e3, hold_down=0.0)


@pytest.fixture(scope="module")
def best() -> LaunchClimb:
    return optimum.best_climb(STACK, PAD, "the stack")


def lost(best: LaunchClimb, after: float, vehicle: LaunchVehicle = STACK, name: str = "pair"):
    """The climb with an engine of a booster stopped, steered as the best one."""
    out = Dispersions(engine_out=EngineOut(0, after, name))
    return fly_climb(vehicle, best.launch, best.steering, out)


def beside(*boosters: Booster) -> LaunchVehicle:
    """The stack with other boosters."""
    heavy = sum(x.propellant + x.dropped for x in boosters)
    mass = STACK.mass - PAIR.propellant - PAIR.dropped + heavy
    return replace(STACK, mass=mass, stages=(replace(CORE, boosters=boosters), UPPER))


def gone(flown: LaunchClimb, name: str = "pair"):
    return next(x for x in flown.track.events if (x.what, x.name) == ("jettisoned", name))


@pytest.mark.parametrize("after", [0.0, 20.0, 90.0])
def test_it_is_dropped_on_time_with_what_it_still_holds(best, after):
    """One of eight engines draws no more: what it would have drawn falls with the pair."""
    flown = lost(best, after)
    assert gone(flown).t == pytest.approx(gone(best).t, abs=1e-9)
    body = next(x for x in flown.falling if x.name == "pair")
    idle = PAIR.motor.flow / 8 * (PAIR.burn_time() - after)
    assert body.mass == pytest.approx(PAIR.dropped + idle, abs=PAIR.motor.flow / 8 * 2e-3)
    assert flown.parts[0].propellant == pytest.approx(best.parts[0].propellant - idle, abs=1.0)
    then = flown.track.mass[flown.track.t <= gone(flown).t][-1]
    assert then == pytest.approx(gone(flown).mass - body.mass, rel=1e-12)


def test_thrust_and_flow_fall_by_one_engine(best):
    """By a twenty-seventh part of eleven engines, the air apart; and the mass at its rate."""
    flown = lost(best, 60.0)
    track, core, pair = flown.track, CORE.motor, PAIR.motor
    one = pair.thrust / 8
    before = track.thrust[track.t <= 60.0][-2]
    behind = track.t > 60.0 + 1e-9
    after = track.thrust[behind][0]
    assert before - after == pytest.approx(one, rel=0.12)  # the air thins within a step
    t, mass = track.t[behind][:2], track.mass[behind][:2]
    rate = -(mass[1] - mass[0]) / (t[1] - t[0])
    assert rate == pytest.approx(core.flow + 7 / 8 * pair.flow, rel=1e-9)


def test_lost_on_the_pad_it_is_a_vehicle_with_fewer_engines(best):
    """Seven engines that burn less of what they carry, the rest being dead weight: as flown."""
    idle = PAIR.motor.flow / 8 * PAIR.burn_time()
    motor = Motor(7, 7 / 8 * PAIR.motor.thrust, 7 / 8 * PAIR.motor.thrust_sea_level, 338.0)
    less = replace(
        PAIR, motor=motor, propellant=PAIR.propellant - idle, dropped=PAIR.dropped + idle
    )
    held = best.launch, best.steering, best.attitudes
    out = Dispersions(engine_out=EngineOut(0, 0.0, "pair"))
    flown = fly_programmed(STACK, *held, out)
    twin = fly_programmed(beside(less), *held)
    assert less.burn_time() == pytest.approx(PAIR.burn_time())
    assert gone(flown).mass == pytest.approx(gone(twin).mass, abs=2.0)
    assert gone(flown).altitude == pytest.approx(gone(twin).altitude, abs=2.0)
    assert gone(flown).speed == pytest.approx(gone(twin).speed, abs=0.02)


def test_both_of_two_are_dropped_when_the_sound_one_is_empty(best):
    """Two boosters that are one body each: the other's burn-out ends both."""
    half = Motor(4, PAIR.motor.thrust / 2, PAIR.motor.thrust_sea_level / 2, 338.0)
    left = Booster("left", half, PAIR.propellant / 2, PAIR.dropped / 2)
    stack = beside(left, replace(left, name="right"))
    whole = lost(best, 40.0)
    flown = lost(best, 40.0, stack, "right")
    assert gone(flown, "left").t == gone(flown, "right").t == pytest.approx(gone(whole).t)
    masses = {x.name: x.mass for x in flown.falling}
    pair = next(x.mass for x in whole.falling if x.name == "pair")
    assert masses["left"] == left.dropped
    assert masses["left"] + masses["right"] == pytest.approx(pair)
    assert flown.left == pytest.approx(whole.left, abs=1.0)


def test_one_without_another_like_it_burns_until_it_is_empty(best):
    """Three of four engines take four thirds of the time for what is left, build-up and all."""
    grown = replace(CORE.motor, build_up=2.0)
    alone = replace(PAIR, name="one", motor=replace(PAIR.motor, count=4, build_up=2.0), bodies=1)
    stages = replace(CORE, motor=grown, boosters=(alone,)), UPPER
    stack, pad = replace(STACK, stages=stages), replace(PAD, hold_down=3.0)
    planned = optimum.climb_like(stack, pad, best)
    out = Dispersions(engine_out=EngineOut(0, 50.0, "one"))
    flown = fly_climb(stack, pad, planned.steering, out)
    ends = gone(flown, "one").t + pad.hold_down
    assert ends - 50.0 == pytest.approx(4 / 3 * (alone.burn_time() - 50.0), abs=1e-6)
    assert next(x.mass for x in flown.falling if x.name == "one") == alone.dropped
    spent = pad.hold_down - 1.0  # s at full flow on the pad
    assert burned_on_pad(stack, pad)[1] == pytest.approx(alone.motor.flow * spent)


def test_the_later_it_stops_the_less_it_costs(best):
    """And after its booster is gone nothing at all."""
    left = [lost(best, t).left for t in (10.0, 60.0, 100.0, 140.0)]
    assert left == sorted(left)
    assert lost(best, PAIR.burn_time() + 10.0).left == pytest.approx(best.left, abs=30.0)


def test_boosters_that_end_one_after_the_other_push_as_long_as_each_burns(best):
    """Whichever is named first: the thrust after the first drop is that of the one still there."""
    short = Booster("short", Motor(2, 4e6, 3.6e6, 338.0), 90e3, 10e3)
    long = Booster("long", Motor(2, 8e6, 7.2e6, 338.0), 360e3, 20e3)
    assert short.burn_time() < long.burn_time()
    pushes = []
    for order in ((short, long), (long, short)):
        flown = optimum.climb_like(beside(*order), PAD, best)
        after = flown.track.t > gone(flown, "short").t + 1e-9
        pushes.append(float(flown.track.thrust[after][0]))
    assert pushes[0] == pytest.approx(pushes[1])
    assert pushes[0] > CORE.motor.thrust_sea_level + long.motor.thrust_sea_level
