"""Lift-off at every revolution, with the ship's plane off, and what an engine lost there means."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c

SCENARIOS = Path(__file__).parents[3] / "scenarios"


def staying(flight, share: float, cabin: str = "ascent_stage") -> CabinPoint:
    """A share of the way through the stay on the Moon."""
    stay = next(x for x in flight.passages if x.moment.kind == "stay")
    span = stay.after.elapsed - stay.before.elapsed
    return CabinPoint(flight, cabin, stay.before.elapsed + share * span)


def test_the_last_lift_off_is_the_plans_own(landing_plan):
    """Called off while the crew wait for lift-off, it is that of the plan, to the second."""
    flight = landing_plan.flight
    burn, meets = flight.burn_of("lunar ascent"), flight.burn_of("rendezvous")
    ways = every.ways_out(CabinPoint(flight, "ascent_stage", burn.elapsed - 60.0), "called off")
    assert ways[0].burns[0].elapsed == pytest.approx(burn.elapsed, abs=0.1)
    assert ways[0].burns[0].required == pytest.approx(burn.required, abs=0.01)
    assert ways[0].burns[0].available == pytest.approx(burn.available, abs=0.01)
    assert ways[0].burns[1].required == pytest.approx(meets.required, abs=0.01)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.6, 0.95])
def test_a_lift_off_each_revolution(landing_plan, share):
    """Within a revolution of the call the first, and the next one revolution of the ship later."""
    flight = landing_plan.flight
    point = staying(flight, share)
    first, second = every.ways_out(point, "called off")[:2]
    turn = point.before.orbit.period
    assert 0.0 < first.burns[0].elapsed - point.elapsed - 600.0 < 1.01 * turn
    assert second.burns[0].elapsed - first.burns[0].elapsed == pytest.approx(turn, rel=0.01)
    assert not first.closed
    assert first.home > first.burns[1].elapsed


def test_off_the_plane_the_ship_may_turn_instead(landing_plan):
    """The Moon has turned the site out of the ship's plane; the turn takes 2 v sin(i/2)."""
    flight = landing_plan.flight
    ways = every.ways_out(staying(flight, 0.98), "called off")
    plain = next(x for x in ways if x.name == "lift-off at the next pass")
    turned = ways[-1]
    assert turned.burns[0].element == "service_module"
    assert turned.burns[1].required < plain.burns[0].required
    off = float(plain.note.split(" deg")[0].split()[-1]) * c.DEG
    assert turned.burns[0].required == pytest.approx(1630.0 * off, rel=0.05, abs=0.2)
    assert "0.0" in turned.note.split(" deg")[0]


def test_the_ascent_engine_lost_leaves_no_way(landing_plan):
    """It is said plainly: the crew stay."""
    ways = every.ways_out(staying(landing_plan.flight, 0.5), "main engine lost")
    assert [x.closed for x in ways] == [
        "the ascent engine is lost, and nothing else lifts the craft off; "
        "the ship cannot come down for its crew"
    ]


def test_nobody_waits_for_a_ship_that_landed_whole():
    """It lifts off at once into its own orbit, and goes home from there."""
    flight = mplan.fly(mplan.load(SCENARIOS / "home_from_the_ground.toml")).flight
    point = staying(flight, 0.4, "crew_module")
    best = every.ways_out(point, "called off")[0]
    assert not best.closed
    assert [x.what for x in best.burns] == ["ascent", "return burn"]
    assert best.burns[0].elapsed == pytest.approx(point.elapsed + 600.0, abs=1.0)
    left = best.burns[0].available - best.burns[0].required
    assert best.burns[1].available == pytest.approx(left, abs=1.0)
    assert best.lands is not None
