"""Starts in flight: what settles them is drawn, counted, told, and comes before the burn."""

from __future__ import annotations

import pytest

import mplan
from mplan.physics.constants import G0


def named(plan, name):
    return next(burn for burn in plan.burns if burn.name == name)


def test_who_settles_whom(landing_plan):
    """Every pumped start in flight has its settling; on the ground and on the pad none needs it."""
    by = {burn.name: burn.settling and burn.settling.element for burn in landing_plan.burns}
    assert by["first-stage climb"] is None
    assert by["second-stage climb"] == "second_stage"
    assert by["translunar injection"] == "transfer_stage"
    assert by["lunar-orbit insertion"] == "service_module"
    assert by["powered descent"] == "ascent_stage"
    assert by["lunar ascent"] is None
    assert by["rendezvous"] is None  # thrusters


def test_propellant_is_push_by_time(landing_plan):
    """The injection: 800 N push the stack, at 225 s, for as long as its hydrogen falls."""
    burn = named(landing_plan, "translunar injection")
    done = burn.settling
    assert done.propellant == pytest.approx(800.0 / (225.0 * G0) * done.duration)
    # While it waits a quarter of a tonne boils off and 21 kg are spent: not in the push yet.
    assert done.acceleration == pytest.approx(800.0 / burn.mass, rel=5e-3)
    assert 45.0 < done.duration < 75.0
    assert done.lacks == 0.0
    assert done.bond > 1e3


def test_the_tanks_of_the_thrusters_pay(landing_plan):
    """What the settling tank gave is what the two starts of the stage took, and is counted."""
    plan = landing_plan
    done = [x.settling for x in plan.burns if x.element == "transfer_stage"]
    end = plan.flight.end.ledger
    load = plan.scenario.elements["transfer_stage"].tanks["settling"].load
    assert load - end.levels["transfer_stage", "settling"] == pytest.approx(
        sum(x.propellant for x in done)
    )
    key = ("transfer_stage", "settling")
    assert end.starts[key] == 2
    assert end.seconds[key] == pytest.approx(sum(x.duration for x in done))


def test_the_burn_stays_in_its_place(reference_landing, landing_plan):
    """A longer settling comes earlier and costs propellant; ignition moves by what that weighs."""
    key = "elements.service_module.engines.main.settling_time"
    longer = mplan.fly(reference_landing.change(key, "60 s"))
    was, now = (named(x, "lunar-orbit insertion") for x in (landing_plan, longer))
    assert now.settling.duration == 60.0
    assert now.settling.propellant > 4.0 * was.settling.propellant
    assert now.elapsed == pytest.approx(was.elapsed, abs=2.0)
    # Two starts so far, of 30 kg each in place of 8; the correction before is spared 0.3 kg.
    spent = 2.0 * (now.settling.propellant - was.settling.propellant)
    assert was.usable - now.usable == pytest.approx(spent, abs=0.5)
    assert now.margin < was.margin - 3.0


def test_the_climb_knows_what_holding_takes(reference_landing, landing_plan):
    """The stack flown is as heavy as the stack weighed, at each ignition of the climb."""
    climb = landing_plan.flight.end.climb
    for burn, part in list(zip(landing_plan.burns, climb.parts, strict=False))[1:]:
        assert burn.settling.duration == pytest.approx(7.0)  # 4 s to separate, 3 s to settle
        lit = next(x for x in climb.track.events if (x.what, x.name) == ("ignition", burn.element))
        assert lit.mass == pytest.approx(burn.mass, rel=1e-9)
        assert part.ignition == pytest.approx(burn.elapsed)


def test_separation_settles_where_the_scenario_says_so(reference_landing):
    """Then nothing is drawn in the climb; the injection is settled all the same."""
    plan = mplan.fly(reference_landing.change("climb.settled_at_separation", True))
    assert named(plan, "second-stage climb").settling is None
    assert named(plan, "parking-orbit insertion").settling is None
    assert named(plan, "translunar injection").settling.propellant > 10.0
    load = reference_landing.elements["second_stage"].tanks["settling"].load
    assert plan.flight.end.ledger.levels["second_stage", "settling"] == load


def test_each_burn_of_a_rendezvous_is_settled(reference_landing):
    """Flown on the pumped main engine, a row of burns takes as many settlings, and pays them."""
    events = reference_landing.events
    index = next(i for i, x in enumerate(events) if getattr(x, "leg", None) == "rendezvous")
    plan = mplan.fly(reference_landing.change(f"events.{index}.engine", "main"))
    burn = next(x for x in plan.burns if x.leg == "rendezvous")
    done, fine = burn.settling, plan.flight.end.rendezvous.burns
    assert done.starts == len(fine) == 7
    once = 2 * 440.0 / (226.0 * G0) * done.duration
    assert done.propellant == pytest.approx(7 * once)
    tanks = plan.flight.end.ledger
    spent = sum(
        x.settling.propellant
        for x in plan.burns
        if x.settling and x.settling.element == "ascent_stage"
    )
    load = plan.scenario.elements["ascent_stage"].tanks["thruster_fuel"].load
    assert load - tanks.levels["ascent_stage", "thruster_fuel"] == pytest.approx(spent)
    assert tanks.starts["ascent_stage", "thrusters"] == 7 + 2  # and twice for the descent
