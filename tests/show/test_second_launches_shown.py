"""Workbook 02 on launches that follow to a ship in Earth orbit."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan.show import translunar
from mplan.studies import second_launch

SCENARIO = Path(__file__).parents[1] / "studies" / "two_launches.toml"


@pytest.fixture(scope="module")
def plan():
    return mplan.fly(mplan.load(SCENARIO), remedies=False)


def test_passes_are_those_of_the_study(plan):
    """Both passes of each day, the flown one marked; ready ahead of the burn or behind it."""
    table = translunar.passes(plan, 3).frame
    flown = second_launch.passes(plan, 3)
    assert len(table) == len(flown) == 6
    assert list(table["rendezvous [m/s]"]) == pytest.approx([x.delta_v for x in flown], abs=0.05)
    assert set(table["pass"]) == {"northward", "southward"}
    (row,) = table[table["flown"] == "this plan"].to_dict("records")
    out = plan.flight.end.outbound
    end = plan.flight.end.lift_off + 3600.0 * row["lift-off to contact [h]"]
    before = row["ready before the burn for the Moon [h]"]
    docked = next(x for x in plan.flight.passages if x.event.do == "dock")  # all that lies between
    asked = (docked.after.elapsed - docked.before.elapsed) / 3600.0
    assert asked > 0.0
    assert before == pytest.approx((out.injection - end) / 3600.0 - asked, abs=0.1)
    assert before > 0.0
    assert list(table["boiled off the waiting ship by contact [t]"]) == pytest.approx(
        [sum(x.boiled.values()) / 1e3 for x in flown], abs=0.006
    )


def test_a_delay_costs_velocity(plan):
    table = translunar.delays(plan, [0.0, 5.0, 15.0]).frame
    cost = list(table["rendezvous [m/s]"])
    assert cost == sorted(cost)
    assert table["between the planes [deg]"][0] == 0.0


def test_without_a_ship_to_meet_a_line_says_so(landing_plan):
    assert "meets no ship in Earth orbit" in str(translunar.passes(landing_plan))
    assert "no ship to meet" in str(translunar.delays(landing_plan))
