"""Home from lunar orbit as soon as the tanks give, where suits or energy do not last for longer."""

from __future__ import annotations

from dataclasses import replace

import pytest

import mplan
from mplan.contingencies.ways_out import every, looks
from mplan.contingencies.ways_out.at_the_moon import leaving, now, return_targets
from mplan.contingencies.ways_out.outbound import round_the_moon
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c
from tests.conftest import DEMO, MISSIONS

LEAK = "cabin leaks"


def joined(flight) -> CabinPoint:
    """In lunar orbit with the lander on the ship's nose, before anybody leaves."""
    undocks = next(i for i, x in enumerate(flight.passages) if x.moment.kind == "undock")
    before = flight.passages[undocks - 1].before
    return CabinPoint(flight, "crew_module", before.elapsed + 60.0)


@pytest.fixture(scope="module")
def away(landing_plan):
    point = joined(landing_plan.flight)
    state, orbit = now.state_at(point), point.before.orbit
    return leaving.Leaving(point.flight, state, point.craft, orbit, point.before, point.elapsed)


def test_more_delta_v_is_home_sooner(away):
    """Each takes no more than there is; five hours less would take more than that."""
    slow = return_targets.best_return(away, 5e3)
    homes = [slow]
    for share in (1.15, 1.4, 1.8):
        there = share * slow.delta_v
        found = return_targets.soonest_return(away, there)
        assert found.delta_v <= there
        assert found.interface.t < homes[-1].interface.t - c.HOUR
        lasts = found.interface.t - found.t
        shorter = return_targets.next_return(away, lasts - 5.0 * c.HOUR)
        assert shorter is None or shorter.delta_v > (1.0 - return_targets.KEPT) * there
        homes.append(found)


def test_none_where_there_is_no_more_than_the_slow_one_takes(away):
    slow = return_targets.best_return(away, 5e3)
    assert return_targets.soonest_return(away, 1.01 * slow.delta_v) is None
    assert return_targets.soonest_return(away, 100.0) is None


def test_suits_that_are_too_short_for_the_plan_last_for_a_fast_return():
    """What would be told as a gap is none: the same engine is home in time, for more delta-v."""
    flight = mplan.fly(mplan.load(MISSIONS / "orbit_and_return.toml")).flight
    there = next(x for x in flight.passages if x.before.moon is not None and x.event.do == "coast")
    point = CabinPoint(flight, "crew_module", there.before.elapsed + c.HOUR)
    slow = min(x.home for x in every.ways_out(point, LEAK) if not x.closed)
    fast = min(x.home for x in every.ways_sooner(point, LEAK) if not x.closed)
    assert fast < slow - 3.0 * c.HOUR
    hours = ((slow + fast) / 2.0 - point.elapsed) / c.HOUR
    short = flight.scenario.change("aborts.suited_time", f"{hours:.2f} h")
    found = looks.look(replace(flight, scenario=short), point.cabin, point.elapsed, (LEAK,))
    assert found.seen[LEAK].kind == looks.OPEN
    best = found.seen[LEAK].way
    assert best.name.startswith("fast return")
    assert best.margin > 0.0


def test_only_where_time_is_short(landing_plan):
    point = joined(landing_plan.flight)
    assert every.ways_sooner(point, "called off") == ()
    assert every.ways_sooner(point, "main engine lost") == ()
    on_the_way = CabinPoint(landing_plan.flight, "crew_module", 12.0 * c.HOUR)
    assert every.ways_sooner(on_the_way, LEAK) == ()


@pytest.fixture(scope="module")
def nearly_there():
    """A quarter of an hour before the Moon: too late for a burn before it is passed.

    On an arc over its poles, which a burn at perilune would have to turn.
    """
    flight = mplan.fly(mplan.load(DEMO.parent / "polar_orbit.toml")).flight
    passed = flight.end.outbound.perilune.t - flight.end.lift_off
    return CabinPoint(flight, "crew_module", passed - 0.25 * c.HOUR)


def test_past_the_moon_the_best_of_some_places_is_burned_at(nearly_there):
    """It is sooner home than the burn at perilune, where much is spent on turning the arc."""
    engine = "service module, main"
    slow = [x for x in every.ways_out(nearly_there, "called off") if not x.closed]
    at_once = min(x.home for x in slow if x.name == f"direct return from the Moon by {engine}")
    named = {x.name: x for x in every.ways_sooner(nearly_there, LEAK)}
    fast = named[f"fast return from the Moon by {engine}"]
    assert not fast.closed
    assert fast.home < at_once - 10.0 * c.HOUR
    (burn,) = fast.burns
    assert burn.required <= burn.available
    past = nearly_there.flight.end.outbound.perilune.t - nearly_there.flight.end.lift_off
    assert burn.elapsed + round_the_moon.WAITS[-1] > past


def test_suits_that_do_not_last_to_a_direct_return_last_to_the_fast_one(nearly_there):
    slow = min(x.home for x in every.ways_out(nearly_there, LEAK) if not x.closed)
    fast = min(x.home for x in every.ways_sooner(nearly_there, LEAK))
    hours = ((slow + fast) / 2.0 - nearly_there.elapsed) / c.HOUR
    flight = nearly_there.flight
    short = replace(flight, scenario=flight.scenario.change("aborts.suited_time", f"{hours:.2f} h"))
    found = looks.look(short, nearly_there.cabin, nearly_there.elapsed, (LEAK,)).seen[LEAK]
    assert found.kind == looks.OPEN
    assert found.way.name.startswith("fast return from the Moon")
