"""How long ways out take: the coverage of whole missions, and one failure at one time."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out.glance import glance
from mplan.flight import walk
from mplan.physics.arcs import nbody, thrust_arc
from mplan.physics.bodies import ephemeris
from mplan.physics.constants import HOUR
from mplan.studies import ways_out
from tests.conftest import DEMO

T = 9.0e8  # TDB s past J2000


@pytest.mark.parametrize("workers", [1, 2])
def test_coverage_of_a_landing(benchmark, first_landing, workers):
    """Every failure from the pad to the splash."""
    asked = {"workers": workers}
    flight = walk.fly(first_landing)
    found = benchmark.pedantic(ways_out.of, (flight,), asked, rounds=1)
    assert not found.stopped
    assert found.looked > 200


def test_coverage_of_two_launches(benchmark, two_launches):
    """A day and a half in Earth orbit, and a landing."""
    found = benchmark.pedantic(ways_out.of, (two_launches,), {"workers": 2}, rounds=1)
    assert not found.stopped


@pytest.mark.parametrize("mission", ["lander_taken_up", "whole_ship_down"])
def test_coverage_of_the_longest(benchmark, mission):
    """Pairs of engines in turn, and engines too weak for one burn, from the lunar orbit."""
    flight = walk.fly(mplan.load(DEMO.parent / f"{mission}.toml"))
    found = benchmark.pedantic(ways_out.of, (flight,), {"workers": 2}, rounds=1)
    assert not found.stopped


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_a_burn_of_a_quarter_of_an_hour(benchmark, back_end):
    """About the Moon, along the velocity: one of some hundred that a way out tries."""
    luna = ephemeris.moon(T)
    start = np.array([1.9e6, 1e5, 3e5]) + luna.r, np.array([100.0, 1500.0, 300.0]) + luna.v
    engine = {"thrust": 10e3, "isp": 310.0, "mass": 15e3, "about": "Moon"}
    steering = thrust_arc.along_velocity(1.0)
    asked = {"steering": steering, "back_end": back_end, **engine}
    end = benchmark.pedantic(
        thrust_arc.fly_thrust, (*start, T, 900.0), asked, rounds=20, warmup_rounds=1
    )
    assert end.ideal > 600.0


def test_fail_this_then(benchmark, first_landing):
    """Every way out at a time that was not asked for before."""
    flight, hour = walk.fly(first_landing), iter(range(20, 70))

    def next_hour():
        return (flight, next(hour) * HOUR, "called off"), {}

    found = benchmark.pedantic(ways_out.at, setup=next_hour, rounds=10)
    assert found.ways


def test_glance_of_a_brief(benchmark, landing_plan):
    """One look at each stretch beyond Earth orbit, remembered arcs and all after the first."""
    assert benchmark.pedantic(glance, (landing_plan.flight,), rounds=3)
