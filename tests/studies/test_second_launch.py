"""When the second of two launches can follow, and what waiting costs; it need not close."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan.physics import constants as c
from mplan.studies import second_launch
from mplan.vehicle import boil_off


@pytest.fixture(scope="module")
def plan():
    return mplan.fly(mplan.load(Path(__file__).parent / "two_launches.toml"))


def test_the_planned_launch_is_one_of_the_passes(plan):
    found = second_launch.passes(plan, 3)
    assert len(found) == 6
    flown = plan.flight.end.second
    near = min(found, key=lambda x: abs(x.lift_off - flown.chaser.lift_off))
    assert near.lift_off == pytest.approx(flown.chaser.lift_off, abs=1.0)
    assert near.waited == pytest.approx(flown.wait, abs=5.0)
    assert near.allowed


def test_waiting_boils_off_what_the_tanks_lose_a_second(plan):
    """Of the stage that waits, as long as it holds some: rate times time, whatever the pass."""
    view = plan.scenario.views["lander"]
    first = plan.flight.end.second.target.lift_off
    for each in second_launch.passes(plan, 2):
        waited = each.lift_off + each.duration - first
        lost = boil_off.losses(view, ("departure_stage",), waited)
        assert 0.0 < each.boiled["departure_stage"] <= sum(lost.values()) * 1.001
        if waited < 3.0 * c.DAY:
            assert each.boiled["departure_stage"] == pytest.approx(sum(lost.values()), rel=0.01)


def test_a_late_launch_costs_velocity(plan):
    on_time, later, latest = second_launch.delays(plan, [0.0, 300.0, 900.0])
    assert on_time.delta_v < later.delta_v < latest.delta_v
    assert latest.between_planes > 2.0 * later.between_planes


def test_a_plan_of_one_ship_has_no_second_launch(landing_plan):
    with pytest.raises(ValueError, match="launches nothing to meet"):
        second_launch.passes(landing_plan)
