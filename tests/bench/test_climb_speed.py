"""How long a climb takes: one, one like another, the best; and another integrator beside them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mplan.physics import compiling
from mplan.physics.climb import launch_climb, optimum
from mplan.physics.climb.motion import rates_of


@pytest.fixture
def planned(landing_plan):
    """The climb of the demo mission."""
    return landing_plan.flight.end.climb


@pytest.fixture(params=["as written", "compiled"])
def speed(request):
    """The readable functions, or the same compiled."""
    if request.param == "compiled":
        assert compiling.load()
    yield request.param
    compiling.forget()


@pytest.fixture(params=["one climb", "like another", "the best"])
def task(request, planned, speed):
    """What a planner waits for, each without what is remembered."""
    vehicle, pad = planned.vehicle, planned.launch
    ways = {
        "one climb": lambda: launch_climb.fly_climb.__wrapped__(vehicle, pad, planned.steering),
        "like another": lambda: _like(planned),
        "the best": lambda: optimum.best_climb.__wrapped__(vehicle, pad),
    }
    return ways[request.param]


def _like(planned):

    heavier = replace(planned.vehicle, mass=planned.vehicle.mass + 1e3)
    launch_climb.fly_climb.cache_clear()
    return optimum.climb_like(heavier, planned.launch, planned)


def test_climbing(benchmark, task):
    """From the pad to the parking orbit."""
    assert benchmark(task).reached


def test_the_same_course_by_dop853(benchmark, planned):
    """The recorded course flown again by SciPy to 1e-9, as a measure."""
    course, _ = launch_climb.recorded(planned.vehicle, planned.launch, planned.steering)

    def flown():
        s = np.array(course.rows[0].s)
        for before, after in zip(course.rows, course.rows[1:], strict=False):
            if after.t == before.t:
                s[6] += after.s[6] - before.s[6]
                continue
            rates = rates_of(planned.vehicle, planned.dispersions, before.push, before.steer)
            arc = solve_ivp(
                lambda t, y, rates=rates: rates(t, tuple(y)),
                (before.t, after.t),
                s,
                method="DOP853",
                rtol=1e-9,
                atol=1e-6,
            )
            s = arc.y[:, -1]
        return s

    s = benchmark.pedantic(flown, rounds=3)
    assert np.linalg.norm(s[:3] - planned.track.r[-1]) < 100.0
