"""Living aboard along the flight: by the clock, once, and every burn weighs what is left."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import power, supplies
from mplan.physics.constants import DAY
from mplan.vehicle.living.account import balance

SHIP, LANDER = "elements.crew_module", "elements.ascent_stage"
DUMPED = {
    f"{SHIP}.supplies.dumped": ["urine_and_condensate"],
    f"{SHIP}.supplies.oxygen_leakage": "1 kg/d",
    f"{LANDER}.supplies.oxygen_leakage": "0.5 kg/d",
    f"{LANDER}.supplies.oxygen": "20 kg",
    f"{LANDER}.supplies.potable_water": "40 kg",
    f"{LANDER}.supplies.left_on_moon": ["urine_and_condensate", "faeces", "canisters"],
    f"{LANDER}.supplies.cabin": {"volume": "6.7 m3", "pressure": "33 kPa"},
    "surface_walks": {"count": 2, "duration": "3 h", "crew": 2},
    "elements.service_module.power.fuel_cell": {},
}


@pytest.fixture(scope="module")
def plan(reference_landing, landing_plan):
    """The reference landing with what leaves it, on the reference's own climb."""
    return mplan.fly(reference_landing.change(DUMPED), like=landing_plan)


def weight(state, name: str) -> float:
    """What an element's supplies and reactants weigh in a state [kg]."""
    return balance(state.scenario.elements[name], state.ledger.account(name)).aboard


@pytest.mark.parametrize("name", ["crew_module", "ascent_stage", "service_module"])
def test_every_account_closes_at_every_event(plan, name):
    """To a millionth of a gram, after each event."""
    element = plan.scenario.elements[name]
    for passage in plan.flight.passages:
        closed = balance(element, passage.after.ledger.account(name))
        assert closed.open == pytest.approx(0.0, abs=1e-9)
        assert closed.aboard >= 0.0


def test_nothing_is_lost_or_made_on_the_way(plan):
    """All elements together: carried, less what went overboard; water moved, and stayed."""
    end = plan.flight.end
    books = [balance(plan.scenario.elements[x], end.ledger.account(x)) for x in plan.scenario.stack]
    assert sum(x.passed_on for x in books) == pytest.approx(sum(x.received for x in books))
    carried, gone = sum(x.carried for x in books), sum(x.overboard for x in books)
    assert sum(x.aboard for x in books) == pytest.approx(carried - gone, abs=1e-9)
    assert gone > 100.0


def test_masses_of_burns_follow(plan, landing_plan):
    """The return burn is lighter by what left the ship, less the reactants that it now carries."""
    was, now = (x.flight.burn_of("trans-Earth injection") for x in (landing_plan, plan))
    ship = ("service_module", "crew_module")
    other = was.mass - sum(weight(was.at_ignition, x) for x in ship)
    assert now.mass - sum(weight(now.at_ignition, x) for x in ship) == pytest.approx(
        other - _propellant(was, now), abs=0.05
    )
    assert weight(now.at_ignition, "crew_module") < weight(was.at_ignition, "crew_module") - 20.0


def _propellant(was, now) -> float:
    """How much less propellant the ship has then: its burns before were other ones."""
    levels = (sum(x.at_ignition.ledger.propellant(y) for y in was.craft) for x in (was, now))
    before, after = levels
    return before - after


def test_what_scenarios_do_not_let_go_stays(landing_plan):
    """Without keys that let anything go, the stores weigh the same from lift-off to splash."""
    for name in ("crew_module", "ascent_stage"):
        first = landing_plan.scenario.elements[name].supplies.mass
        for passage in landing_plan.flight.passages:
            assert weight(passage.after, name) == pytest.approx(first, abs=1e-9)


def test_it_goes_by_the_clock(landing_plan):
    """Person-days times the published rate, in every element, from lift-off to splash."""
    lived: dict[str, float] = {}
    for each in landing_plan.flight.stretches:
        lived[each.element] = lived.get(each.element, 0.0) + each.crew * each.duration / DAY
    for name, account in supplies.accounts(landing_plan.flight).items():
        assert account.person_seconds / DAY == pytest.approx(lived[name], rel=1e-12)
        assert account.taken["oxygen"] == pytest.approx(0.835 * lived[name], rel=1e-9)
    assert sum(lived.values()) == pytest.approx(3.0 * landing_plan.flight.duration / DAY)


def test_a_wait_before_a_burn_is_lived_before_it(plan):
    """The injection waits in the parking orbit: what leaks meanwhile is not weighed with it."""
    burn = plan.flight.burn_of("translunar injection")
    middle = burn.elapsed + burn.duration / 2.0
    account = burn.at_ignition.ledger.account("crew_module")
    assert account.overboard["oxygen"] == pytest.approx(middle / DAY, rel=1e-9)


def test_walks_cost_the_lander_air(plan):
    """Two openings of 6.7 m3 at 33 kPa, 2.88 kg each, beside the leak; before lunar lift-off."""
    ascent = plan.flight.burn_of("lunar ascent")
    account = ascent.at_ignition.ledger.account("ascent_stage")
    leaked = 0.5 * account.seconds / DAY
    assert account.overboard["oxygen"] - leaked == pytest.approx(2 * 2.88, abs=0.02)


def test_waste_is_left_on_the_moon(plan):
    """It is aboard at touchdown and gone at lift-off."""
    stay = next(x for x in plan.flight.passages if x.event.do == "stay")
    before, after = (x.ledger.account("ascent_stage") for x in (stay.before, stay.after))
    assert before.kept["faeces"] > 0.0
    assert after.kept["faeces"] == 0.0
    assert after.overboard["faeces"] > before.kept["faeces"]
    assert weight(stay.after, "ascent_stage") < weight(stay.before, "ascent_stage") - 20.0


def test_fuel_cells_make_the_water_that_the_energy_takes(plan):
    """What the power check says was drawn, by Faraday's law at 0.9 V a cell: 0.3734 kg/kWh."""
    module = next(x for x in power.used(plan.flight) if x.element == "service_module")
    drunk = plan.flight.end.ledger.account("crew_module")
    assert drunk.received == pytest.approx(0.37342 * module.drawn / power.KWH, rel=1e-4)
    assert drunk.overflowed > 0.0  # more than the crew drinks
    water = next(
        x
        for x in supplies.used(plan.flight)
        if (x.element, x.supply) == ("crew_module", "potable_water")
    )
    assert water.short == 0.0
    assert "made by fuel cells" in water.note


def test_a_pressurised_cabin_leaks_with_nobody_in_it(reference_landing, landing_plan):
    """From lift-off until it is jettisoned, not only while somebody is in it."""
    leak = {f"{LANDER}.supplies.oxygen_leakage": "0.1 kg/d"}
    kept = {f"{LANDER}.supplies.kept_pressurised": True}
    used, always = (
        mplan.fly(reference_landing.change(x), like=landing_plan).flight.end.ledger
        for x in (leak, leak | kept)
    )
    dropped = next(
        x.elapsed for x in landing_plan.timeline if x.event.startswith("jettison ascent")
    )
    lived = used.account("ascent_stage")
    assert lived.overboard["oxygen"] == pytest.approx(0.1 * lived.seconds / DAY)
    assert always.account("ascent_stage").overboard["oxygen"] == pytest.approx(
        0.1 * dropped / DAY, rel=1e-3
    )
