"""Cargo lands weeks before the crew do: one file, one clock, and what they find there."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan import checks, contract
from mplan.checks.docked.on_the_ground import landed
from mplan.flight import walk
from mplan.physics.constants import DAY, DEG, HOUR, R_MOON
from mplan.show import other_ships
from mplan.show.mission import event_ladder

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"


@pytest.fixture(scope="module")
def plan():
    return mplan.fly(mplan.load(SCENARIOS / "cargo_first.toml"), remedies=False)


def test_it_closes(plan):
    assert plan.closes
    assert plan.decisions_open == 0


def test_one_clock(plan):
    """The cargo's events are told on the crew's clock, weeks below zero, in order of time."""
    moments = plan.flight.every_moment
    assert [x.elapsed for x in moments] == sorted(x.elapsed for x in moments)
    down = next(x for x in moments if x.event == "cargo: touchdown on the Moon")
    assert -30.0 * DAY < down.elapsed < -14.0 * DAY
    (row,) = [x for x in contract.document(plan)["timeline"] if x["event"] == down.event]
    assert row["elapsed_s"] == pytest.approx(down.elapsed, abs=1.0)


def test_what_the_crew_find(plan):
    """Payload, how long it has stood there, and the distance over a twentieth of a degree."""
    (there,) = landed(plan.flight)
    assert there.payload == pytest.approx(14e3)
    assert there.distance == pytest.approx(R_MOON * 0.05 * DEG, rel=1e-6)
    crew = next(x for x in plan.flight.moments if x.kind == "land")
    assert there.waited == pytest.approx(crew.elapsed - there.elapsed)
    (found,) = [x for x in plan.findings if x.check == "hardware on the ground"]
    assert "1.5 km from cargo lander" in found.text
    (line,) = (x for x in other_ships.lines(plan) if x.startswith("on the ground: cargo lander"))
    assert (
        13.0 < there.night / DAY < 15.0
    )  # it came and they come in the morning: one night between
    for text in (found.text, line):
        assert f"{there.night / DAY:.1f} d of it lunar night; the energy it takes there is" in text


def test_it_is_on_the_ground_by_the_lines(plan):
    """What has landed is not told to wait in lunar orbit."""
    lines = [x for x in other_ships.lines(plan) if x.startswith("ship cargo")]
    (landed_near,) = (x for x in lines if "landed near" in x)
    site = plan.scenario.views["cargo"].site
    assert f"landed near {abs(site.latitude) / DEG:.2f} " in landed_near  # told to 0.3 km
    assert not any("in lunar orbit" in x for x in lines)


def test_the_timeline_shows_both_ships(plan):
    """The cargo's turning points below zero, under its name and mark; its bar to the end."""
    rungs = event_ladder.rungs(plan)
    assert [x.at for x in rungs] == sorted(x.at for x in rungs)
    theirs = [x for x in rungs if x.ship == "cargo"]
    assert all(x.text.startswith("cargo: ") and x.at < 0.0 for x in theirs)
    down = next(x for x in theirs if "touchdown" in x.text)
    (there,) = landed(plan.flight)
    assert down.at * DAY == pytest.approx(there.elapsed)
    spans = event_ladder.others(plan)["cargo"]
    assert [x.name for x in spans][-1] == "on the Moon"
    assert spans[-1].end * DAY == pytest.approx(plan.flight.duration)
    drawn = event_ladder.drawing(plan)
    assert drawn.x["range"][0] < spans[0].begin < -20.0
    assert list(drawn.y["ticktext"])[-1] == "ship cargo"
    marks = drawn.traces[-2]["marker"]["symbol"]
    assert [x.startswith("circle") for x in marks] == [bool(x.ship) for x in rungs]


def test_each_has_a_transfer_of_its_own(plan):
    """The cargo takes the slower way and brakes with less into lunar orbit."""
    ours, theirs = plan.flight, plan.flight.others["cargo"]
    times = [x.end.outbound.perilune.t - x.end.outbound.injection for x in (ours, theirs)]
    assert [round(x / HOUR) for x in times] == [76, 90]
    braking = [x.burn_of("lunar-orbit insertion").impulse for x in (theirs, ours)]
    assert braking[0] < braking[1]


def test_the_upper_stages_reach_the_orbit_by_themselves(plan):
    """`transfer_stage_burns` off: no stage that leaves for the Moon burns in the climb."""
    for scenario in (plan.scenario, plan.scenario.views["cargo"]):
        climbs = [x for x in scenario.events if getattr(x, "leg", None) == "climb"]
        roles = {scenario.elements[x.element].role for x in climbs}
        assert roles == {"launch stage"}
    on = plan.scenario.views["cargo"].change("climb.transfer_stage_burns", True)
    climbs = [x for x in on.events if getattr(x, "leg", None) == "climb"]
    assert on.elements[climbs[-1].element].role == "transfer stage"


def test_what_boils_off_of_a_ship_that_nobody_meets_is_told(plan):
    lost = {x.event for x in plan.findings if x.check == "boil-off" and x.ship == "cargo"}
    assert "cargo_departure" in lost


def test_far_away_nothing_is_said(plan):
    """Cargo that lands hundreds of kilometres off is no neighbour."""
    far = walk.fly_like(
        plan.scenario.change("ships.cargo.landing_site.latitude", "14 deg"), plan.flight
    )
    assert next(landed(far)).distance == pytest.approx(R_MOON * 4.6 * DEG, rel=1e-6)
    assert not [x for x in checks.of(far) if x.check == "hardware on the ground"]
