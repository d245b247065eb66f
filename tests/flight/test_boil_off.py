"""Boiling off in flight: by the clock, once, of what is there, and it is missing later."""

from __future__ import annotations

import pytest

import mplan
from mplan.flight import boil_off as drawing
from mplan.flight import walk
from mplan.vehicle import boil_off

HYDROGEN = "elements.transfer_stage.tanks.hydrogen.heat_input"


def injection(plan):
    return next(burn for burn in plan.burns if burn.leg == "translunar injection")


def test_it_goes_by_the_clock_from_lift_off_until_the_stage_is_dropped(any_plan):
    """Rate times time, tank by tank; what burned out in the climb lost nothing."""
    tanks = any_plan.scenario.elements["transfer_stage"].tanks
    dropped = next(x for x in any_plan.timeline if x.event.startswith("jettison transfer"))
    boiled = any_plan.flight.end.ledger.boiled
    assert set(boiled) == {("transfer_stage", "hydrogen"), ("transfer_stage", "oxygen")}
    for (_, tank), loss in boiled.items():
        assert loss == pytest.approx(boil_off.rate(tanks[tank]) * dropped.elapsed, rel=1e-9)


def test_the_wait_for_the_injection_is_paid_before_it(landing_plan):
    """What is gone at the burn is that of the time to its middle, not of the time to the coast."""
    burn = injection(landing_plan)
    tanks = landing_plan.scenario.elements["transfer_stage"].tanks.values()
    middle = burn.elapsed + burn.duration / 2.0
    assert burn.boiled == pytest.approx(sum(map(boil_off.rate, tanks)) * middle, rel=1e-9)


def test_another_turn_in_the_parking_orbit_costs_margin(reference_landing, landing_plan):
    """An hour and a half more boils off more, and the injection has that much less."""
    later = mplan.fly(reference_landing.change("orbits.parking_revolutions", 2))
    was, now = injection(landing_plan), injection(later)
    passed = now.elapsed + now.duration / 2.0 - (was.elapsed + was.duration / 2.0)
    assert passed == pytest.approx(5300.0, abs=150.0)
    stage = reference_landing.elements["transfer_stage"]
    hydrogen, oxygen = (boil_off.rate(stage.tanks[tank]) for tank in ("hydrogen", "oxygen"))
    assert now.boiled - was.boiled == pytest.approx((hydrogen + oxygen) * passed)
    # Hydrogen runs dry first: with each kilogram the oxygen that it would burn is lost too.
    lost = (1.0 + stage.engines["main"].mixture_ratio) * hydrogen * passed
    assert was.usable - now.usable == pytest.approx(lost, rel=1e-3)
    assert now.margin < was.margin - 50.0


def test_masses_follow(landing_plan):
    """What the stack weighs before the injection is what it weighed after the climb, less that."""
    climbed, burn = landing_plan.burns[2], injection(landing_plan)
    left = climbed.mass - climbed.propellant
    assert burn.mass == pytest.approx(left - burn.boiled - burn.settling.propellant, rel=1e-9)


def test_a_cold_tank_keeps_its_load(reference_landing):
    """Nothing leaks in, nothing is gone."""
    cold = reference_landing.change(
        {HYDROGEN: "0 W", HYDROGEN.replace("hydrogen", "oxygen"): "0 W"}
    )
    plan = mplan.fly(cold)
    assert plan.flight.end.ledger.boiled == {}
    assert injection(plan).boiled == 0.0


def test_no_minute_is_drawn_twice(reference_landing):
    """On the pad and in the climb nothing is drawn; a second drawing at one time draws nothing."""
    state = walk.on_pad(reference_landing)
    assert drawing.drawn(state.later(600.0)).ledger.boiled == {}
