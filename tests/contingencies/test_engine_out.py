"""A climb with an engine out, followed from those in which it stops later."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.contingencies.engine_out import climb_with_engine_out
from mplan.physics import constants as c
from mplan.physics.climb.launch_climb import LaunchClimb, fly_climb
from mplan.physics.climb.launch_vehicle import Dispersions, EngineOut
from tests.conftest import MISSIONS


@pytest.fixture(scope="module")
def boosted() -> LaunchClimb:
    """A core that burns beside boosters: much of what it gives comes after they are dropped."""
    return mplan.fly(mplan.load(MISSIONS / "northern_landing.toml")).flight.end.climb


def out(planned: LaunchClimb, since: float, radius: float = 0.0) -> LaunchClimb:
    """One engine of the core stopped."""
    return climb_with_engine_out(planned, EngineOut(0, since), radius)


@pytest.mark.parametrize("since", [160.0, 180.0, 210.0, 240.0])
def test_the_same_as_flown_by_itself_where_that_finds_an_orbit(boosted, since):
    """To the metre of the insertion, that is some kilograms of propellant in tens of tonnes."""
    alone = fly_climb(
        boosted.vehicle,
        boosted.launch,
        boosted.steering,
        Dispersions(engine_out=EngineOut(0, since)),
    )
    followed = out(boosted, since)
    assert alone.reached
    assert followed.left == pytest.approx(alone.left, abs=10.0)
    assert followed.duration == pytest.approx(alone.duration, abs=0.1)


def test_it_finds_the_orbit_where_a_search_from_the_plan_does_not(boosted):
    """At its height, level, with the speed of a circle; the plan's own aim is too far off."""
    lost = Dispersions(engine_out=EngineOut(0, 120.0))
    assert not fly_climb(boosted.vehicle, boosted.launch, boosted.steering, lost).reached
    flown = out(boosted, 120.0)
    assert flown.reached
    r, v = flown.track.r[-1], flown.track.v[-1]
    assert np.linalg.norm(r) == pytest.approx(boosted.launch.radius, abs=1.0)
    assert np.linalg.norm(v) == pytest.approx(np.sqrt(c.MU_EARTH / np.linalg.norm(r)), abs=0.02)
    assert float(r @ v) / np.linalg.norm(r) == pytest.approx(0.0, abs=0.02)


def test_what_is_left_changes_evenly_with_the_time(boosted):
    """No jumps: each half of a step changes it by about as much as the other."""
    left = [out(boosted, t).left for t in np.arange(60.0, 250.0, 7.0)]
    steps = np.diff(left)
    assert np.all(steps > 0.0)
    assert np.all(np.abs(np.diff(steps)) < 0.35 * steps[:-1])


def test_an_engine_that_stops_at_the_end_costs_nothing(boosted):
    part = boosted.parts[0]
    flown = out(boosted, part.cut_off - part.ignition - 0.1)
    assert flown.left == pytest.approx(boosted.left, abs=60.0)


def test_a_lower_orbit_takes_less(boosted):
    lower = out(boosted, 120.0, c.R_EARTH + 150e3)
    assert lower.reached
    assert lower.left > out(boosted, 120.0).left + 1e3
    assert np.linalg.norm(lower.track.r[-1]) == pytest.approx(c.R_EARTH + 150e3, abs=1.0)
