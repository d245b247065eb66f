"""Thrusters' propellant: drawn as it happens, by the craft it happens to, once."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks.thrusters import accounts
from mplan.flight.housekeeping import phases
from mplan.physics.attitude import thruster_impulse
from mplan.physics.constants import DEG, G0
from mplan.physics.rocket import propellant
from mplan.vehicle import inertia


@pytest.fixture(scope="module")
def counted(reference_landing, landing_plan):
    """The reference landing with every default of the budget."""
    return mplan.fly(reference_landing.change("thruster_budget", {}), like=landing_plan)


def drawn(plan, item, phase=None, element=None):
    return sum(
        each.given
        for account, each in plan.flight.end.thrusters.drawn.items()
        if account.item == item
        and phase in (None, account.phase)
        and element in (None, account.element)
    )


def passage(plan, title):
    return next(each for each in plan.flight.passages if each.event.title == title)


def test_nothing_is_drawn_without_the_table(landing_plan):
    """An old scenario flies as before."""
    assert landing_plan.flight.end.thrusters is None
    assert accounts(landing_plan.flight) == ()


def test_every_kilogram_is_accounted_for(counted):
    """What is gone from the tanks of thrusters alone is attitude, settling and burns together."""
    for account in accounts(counted.flight):
        element = counted.scenario.elements[account.element]
        engine = element.engines[account.engine]
        if engine.oxidiser is not None:  # shared with the main engine
            continue
        level = counted.flight.end.ledger.levels[account.element, engine.fuel]
        gone = element.tanks[engine.fuel].load - level
        total = account.attitude + account.of("settling", "burns")
        assert gone == pytest.approx(total, abs=1e-9)


def test_phases_follow_from_what_happens(counted, reference_landing):
    """In the order in which they are flown; nothing on the pad, in the climb and on the Moon."""
    found = list(dict.fromkeys(each.phase for each in counted.flight.end.thrusters.drawn))
    assert found == [
        "parking orbit",
        "translunar coast",
        "lunar orbit, docked",
        "descent",
        "lunar orbit, ship alone",
        "ascent and rendezvous",
        "transearth coast",
        "entry",
    ]
    climbing = passage(counted, "second-stage climb").before
    assert phases.of(climbing, climbing.craft[0]) is None
    landed = passage(counted, "stay at the Moon")
    lander = landed.before.joined("ascent_stage")
    assert phases.of(landed.before, lander) is None
    of_lander = [
        {k: v for k, v in state.thrusters.drawn.items() if k.element == "ascent_stage"}
        for state in (landed.before, landed.after)
    ]
    assert of_lander[0] == of_lander[1]


def test_the_mass_at_the_return_burn_is_less_by_what_was_drawn(counted, landing_plan):
    """By that of the ship's thrusters so far, and what lighter burns have taken less."""
    before, after = (
        next(x for x in plan.burns if x.leg == "trans-Earth injection")
        for plan in (landing_plan, counted)
    )
    ship = {"service_module", "crew_module"}
    use = after.at_ignition.thrusters.drawn
    gone = sum(each.given for account, each in use.items() if account.element in ship)
    spent = [
        sum(x.propellant + (x.settling.propellant if x.settling else 0.0) for x in plan.burns[:-2]
            if x.element in ship)
        for plan in (landing_plan, counted)
    ]  # fmt: skip
    assert gone > 60.0
    assert before.mass - after.mass == pytest.approx(gone + spent[1] - spent[0], abs=0.5)


def test_a_separation_by_hand(counted):
    """0.3 m/s of the ship that is left."""
    found = passage(counted, "jettison ascent stage")
    left = ("service_module", "crew_module")
    engine = counted.scenario.elements["service_module"].engines["thrusters"]
    wanted = propellant(engine.isp_vacuum, found.before.mass(left), 0.3)
    assert drawn(counted, "separation", "lunar orbit, ship alone") == pytest.approx(wanted)


def test_turns_for_a_burn_by_hand(reference_landing, landing_plan):
    """Two turns about three axes at 0.2 deg/s, with the moments of the craft as it then is."""
    only = {"turns_a_day": 0, "undocking_delta_v": "0 m/s", "docking_delta_v": "0 m/s"}
    plan = mplan.fly(reference_landing.change("thruster_budget", only), like=landing_plan)
    state = passage(plan, "powered descent").before
    craft = state.joined("ascent_stage")
    whole = inertia.of(craft, plan.scenario, state.ledger, state.carried(craft))
    element = plan.scenario.elements["ascent_stage"]
    engine, half = element.engines["thrusters"], element.diameter / 2.0
    feet, _ = inertia.stations(craft, plan.scenario, plan.flight.lengths)
    middle = feet["ascent_stage"] + plan.flight.lengths["ascent_stage"] / 2.0
    away = max(abs(middle - whole.centre), half)
    once = 2.0 * thruster_impulse.of_turn(whole.pitch, 0.2 * DEG, away)
    once += thruster_impulse.of_turn(whole.roll, 0.2 * DEG, half)
    after = passage(plan, "powered descent").after
    found = [
        each.given
        for x in (state, after)
        for account, each in x.thrusters.drawn.items()
        if (account.phase, account.item) == ("descent", "turns")
    ]
    assert found[1] - found[0] == pytest.approx(2.0 * once / (engine.isp_vacuum * G0), rel=1e-9)


def test_the_docking_after_a_rendezvous_is_paid_once(counted, reference_landing, landing_plan):
    """Its allowance stands in the rendezvous; without one, the budget pays."""
    assert drawn(counted, "docking", "ascent and rendezvous") == 0.0
    values = {"thruster_budget": {}, "rendezvous": {"docking": "0 m/s"}}
    other = mplan.fly(reference_landing.change(values), like=landing_plan)
    assert drawn(other, "docking", "ascent and rendezvous") > 0.5


def test_thrusters_hold_a_fixed_engine_alone(counted, reference_landing, landing_plan):
    """The ascent's is fixed; one that swivels asks nothing of them."""
    assert drawn(counted, "steering") == pytest.approx(
        drawn(counted, "steering", "ascent and rendezvous", "ascent_stage")
    )
    assert drawn(counted, "steering") > 10.0
    values = {"thruster_budget": {}, "elements.ascent_stage.engines.main.gimbal": "4 deg"}
    assert drawn(mplan.fly(reference_landing.change(values), like=landing_plan), "steering") == 0.0


def test_a_stated_amount_takes_the_place_of_one_worked_out(reference_landing, landing_plan):
    """Once, as the phase begins; other items stay worked out."""
    phase = "lunar orbit, docked"
    values = {"phases": {phase: {"stated": {"turns": "12 kg", "steering": "3 kg"}}}}
    plan = mplan.fly(reference_landing.change("thruster_budget", values), like=landing_plan)
    assert drawn(plan, "turns", phase) == 12.0
    assert drawn(plan, "steering", phase) == 3.0
    assert drawn(plan, "gravity gradient", phase) > 1.0
    assert drawn(plan, "turns", "lunar orbit, ship alone") not in (0.0, 12.0)


def test_with_the_local_vertical_there_is_no_gravity_gradient(reference_landing, landing_plan):
    """And coasts that rotate take rotation in place of limit cycles."""
    plan = mplan.fly(
        reference_landing.change("thruster_budget", {"attitude": "local"}), like=landing_plan
    )
    assert drawn(plan, "gravity gradient") == 0.0
    assert drawn(plan, "thermal rotation", "translunar coast") > 0.0
    assert drawn(plan, "limit cycles", "translunar coast") == 0.0


def test_tanks_give_no_more_than_they_hold(reference_landing, landing_plan):
    """What was asked beyond is kept beside it."""
    values = {"phases": {"descent": {"stated": {"turns": "400 kg"}}}}
    plan = mplan.fly(reference_landing.change("thruster_budget", values), like=landing_plan)
    (account,) = (x for x in accounts(plan.flight) if x.element == "ascent_stage")
    assert account.left == pytest.approx(0.0, abs=1e-9)
    assert 140.0 < account.lacks < 250.0


def test_a_flyby_has_no_lunar_phase(flyby_plan):
    """It is on its way home from perilune on."""
    plan = mplan.fly(flyby_plan.scenario.change("thruster_budget", {}), like=flyby_plan)
    found = {each.phase for each in plan.flight.end.thrusters.drawn}
    assert found == {"parking orbit", "translunar coast", "transearth coast", "entry"}


def test_tanks_that_were_dropped_give_nothing(reference_landing, landing_plan):
    """Thrusters fed from the descent stage turn the lander down there, and lack all on the way up.

    The main engine flies the rendezvous: a burn from tanks that are gone would not be flown.
    """
    events = reference_landing.events
    leg = next(i for i, x in enumerate(events) if getattr(x, "leg", "") == "rendezvous")
    path = "elements.ascent_stage"
    values = {
        "thruster_budget": {},
        f"{path}.engines.thrusters.crossfeed": "descent_stage",
        f"{path}.engines.thrusters.fuel": "MMH",
        f"{path}.tanks.thruster_fuel": None,
        f"events.{leg}.engine": None,
    }
    plan = mplan.fly(reference_landing.change(values), like=landing_plan)
    use = plan.flight.end.thrusters.drawn
    down = [each for account, each in use.items() if account.phase == "descent"]
    up = [each for account, each in use.items() if account.phase == "ascent and rendezvous"]
    assert down
    assert up
    assert all(each.given == each.asked > 0.0 for each in down)
    assert all(each.given == 0.0 < each.asked for each in up)
