"""Climbs flown by compiled functions and by the source that they are compiled from."""

from __future__ import annotations

from math import radians
from random import Random

import numpy as np
import pytest

from mplan.physics import compiling
from mplan.physics import constants as c
from mplan.physics.bodies.days import AirDay
from mplan.physics.climb import impact, launch_climb, optimum
from mplan.physics.climb.launch_vehicle import (
    Booster,
    ClimbLimits,
    Dispersions,
    Drop,
    EngineOut,
    Launch,
    LaunchVehicle,
    Motor,
    Stage,
)
from mplan.physics.climb.weather import DESIGN_WIND, Weather, wind_row

# The same operations in the same order on the same doubles: equal to the last digit, where both
# call the same mathematical library, as they do. A last digit that differs grows in a climb
# by no more than some thousand times (a difference of a millimetre at 80 km ends as metres).
SAME = 1e-12
SEEDS = range(8)


@pytest.fixture(scope="module", autouse=True)
def compiled():
    """The functions compiled, and as written again for other tests."""
    assert compiling.load()
    before = compiling.refused()
    yield
    assert compiling.refused() == before
    compiling.forget()


def drawn(seed: int) -> tuple[LaunchVehicle, Launch, Dispersions]:
    """A vehicle, its way up and what goes wrong, by a seed; some of them lead nowhere."""
    draw = Random(seed)
    rocket = draw.uniform
    boosters, drops = (), ()
    if draw.random() < 0.5:
        boosters = (Booster("side", Motor(2, 9e6, 8.2e6, 285.0, 1.0), 320e3, 38e3),)
    if draw.random() < 0.5:
        drops = (Drop("ring", 30.0, 4e3), Drop("tower", 35.0, 4e3))
    least = draw.choice((0.6, 1.0))
    first = Stage(
        "first",
        Motor(6, rocket(30e6, 36e6), rocket(27e6, 30e6), 320.0, 2.0, least),
        1.70e6,
        128e3,
        0.0,
        boosters,
    )
    second = Stage(
        "second", Motor(5, rocket(1e6, 6e6), 1e6, 441.0, 2.0), 257e3, 33e3, 4.0, (), drops
    )
    third = Stage("third", Motor(1, 980e3, 980e3, 449.0, 2.0), 96.6e3, 0.0, 6.0)
    limits = ClimbLimits(*draw.choice(((39.0, 33e3), (np.inf, np.inf), (34.0, np.inf))))
    mass = 2.277e6 + sum(x.propellant + x.dropped for x in boosters)
    vehicle = LaunchVehicle(mass, (first, second, third), 66.5, limits=limits, normal_slope=120.0)
    rows = tuple(wind_row(h, w, rocket(0.0, 6.28)) for h, w in DESIGN_WIND)
    day = draw.choice((AirDay(), AirDay("warm"), AirDay("cold", 5.0)))
    weather = Weather(day, draw.choice(((), rows)))
    pad = Launch(
        radians(rocket(-60.0, 60.0)),
        radians(rocket(50.0, 130.0)),
        c.R_EARTH + rocket(160e3, 400e3),
        weather=weather,
    )
    out = draw.choice((None, EngineOut(1, 60.0), EngineOut(0, 50.0, "side") if boosters else None))
    return vehicle, pad, Dispersions(rocket(0.97, 1.02), rocket(0.9, 1.1), out, rocket(0.0, 0.6))


def same(one: launch_climb.LaunchClimb, other: launch_climb.LaunchClimb) -> None:
    """Hold two climbs against each other: all their numbers, moment by moment."""
    assert one.trouble == other.trouble
    for name in ("duration", "angle", "left", "released"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), rel=SAME)
    for name in ("t", "r", "v", "mass", "dynamic_pressure", "acceleration", "nose"):
        mine, written = getattr(one.track, name), getattr(other.track, name)
        assert mine.shape == written.shape
        np.testing.assert_allclose(mine, written, rtol=SAME, atol=SAME * np.abs(written).max())
    for mine, written in zip(one.parts, other.parts, strict=True):
        assert mine.losses == pytest.approx(written.losses, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_vehicles_of_all_sorts(seed):
    """Boosters, throttling, weather, engines out: planned and off nominal, reached or not."""
    vehicle, pad, dispersions = drawn(seed)
    best = optimum.best_climb.__wrapped__(vehicle, pad)
    fly = launch_climb.fly_climb.__wrapped__
    quick = fly(vehicle, pad, best.steering), fly(vehicle, pad, best.steering, dispersions)
    launch_climb.fly_climb.cache_clear()
    with compiling.as_written():
        slow = fly(vehicle, pad, best.steering), fly(vehicle, pad, best.steering, dispersions)
    launch_climb.fly_climb.cache_clear()
    for one, other in zip(quick, slow, strict=True):
        same(one, other)


def test_some_of_them_fly():
    """The seeds are worth something: most reach orbit, and one does not."""
    reached = [optimum.best_climb(*drawn(seed)[:2]).reached for seed in SEEDS]
    assert 4 <= sum(reached) < len(reached)


def test_a_try_beyond_all_numbers_is_one_that_leads_nowhere():
    """A look ahead of this vehicle, which does not carry, ends at speeds that overflow."""
    flown = optimum.best_climb(*drawn(24)[:2])
    assert not flown.reached
    assert flown.trouble


def test_the_search_finds_the_same(landing_plan):
    """The best climb of a mission, sought both ways."""
    planned = landing_plan.flight.end.climb
    best = optimum.best_climb.__wrapped__
    quick = best(planned.vehicle, planned.launch)
    launch_climb.fly_climb.cache_clear()
    with compiling.as_written():
        slow = best(planned.vehicle, planned.launch)
    assert quick.steering.pitchover_angle == slow.steering.pitchover_angle
    same(quick, slow)


@pytest.mark.parametrize("seed", SEEDS)
def test_falls_of_all_sorts(seed):
    """Where stages come down, with their ellipses: the same both ways, stages in space too."""
    vehicle, pad, _ = drawn(seed)
    flown = optimum.best_climb(vehicle, pad)
    bodies = [body._replace(drag_area=area) for body in flown.falling for area in (0.0, 30.0, 3e3)]

    def fallen():
        ways = (impact.impact(body, pad.latitude, pad.weather) for body in bodies)
        errors = impact.FallErrors()
        off = (impact.footprint.__wrapped__(b, pad.latitude, pad.weather, errors) for b in bodies)
        return list(ways), list(off)

    quick = fallen()
    with compiling.as_written():
        slow = fallen()
    assert quick == slow
