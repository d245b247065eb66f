"""Supplies along the flight: curves by the flight's books, who used what, the air, what is kept."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.checks import living, remedies, supplies
from mplan.physics.constants import DAY, HOUR
from mplan.vehicle.living.account import balance

SHIP, LANDER = "elements.crew_module.supplies", "elements.ascent_stage.supplies"
AIR = {
    f"{SHIP}.air_flow": "60 m3/h",
    f"{SHIP}.cabin": {"volume": "6 m3", "pressure": "34 kPa"},
}


@pytest.fixture(scope="module")
def flown(reference_landing, landing_plan):
    """A function that flies the reference landing with changes, on its own climb."""
    return lambda changes: mplan.fly(reference_landing.change(changes), like=landing_plan).flight


def test_curves_begin_with_the_load_and_end_with_what_is_left(landing_plan):
    """Of every supply in every cabin, by what the supplies' own check says."""
    flight = landing_plan.flight
    found = living.supply_curves(flight)
    assert {x.use.element for x in found} == {"crew_module", "ascent_stage"}
    for curve in found:
        assert np.all(np.diff(curve.t) >= 0.0)
        left = curve.use.capacity - curve.use.used
        if curve.use.supply not in ("urine_and_condensate", "faeces"):
            assert curve.left[-1] == pytest.approx(left, abs=1e-9)
            assert curve.left[0] >= curve.left[-1]


def test_a_curve_is_the_flight_in_between(landing_plan):
    """A straight line while three live there: 0.835 kg of oxygen a day and person."""
    found = living.supply_curves(landing_plan.flight)
    which = ("crew_module", "oxygen")
    curve = next(x for x in found if (x.use.element, x.use.supply) == which)
    early = (curve.t > 6.0 * HOUR) & (curve.t < 60.0 * HOUR)
    slope = np.polyfit(curve.t[early] / DAY, curve.left[early], 1)
    assert slope[0] == pytest.approx(-3.0 * 0.835, rel=1e-9)


def test_an_emptied_room_for_waste_is_a_step(flown):
    """What is left on the Moon leaves room again, in one moment."""
    flight = flown({f"{LANDER}.left_on_moon": ["faeces"]})
    curve = next(
        x
        for x in living.supply_curves(flight)
        if (x.use.element, x.use.supply) == ("ascent_stage", "faeces")
    )
    assert curve.use.used > 0.0
    assert curve.t[-1] < flight.duration  # it is dropped before the splash


def test_activities_add_up_to_the_accounts(landing_plan):
    """Event by event, to the gram, in every cabin."""
    flight = landing_plan.flight
    found = living.activities(flight)
    for name, account in supplies.accounts(flight).items():
        own = [x for x in found if x.element == name]
        for supply, mass in account.taken.items():
            assert sum(x.used[supply] for x in own) == pytest.approx(mass, abs=1e-9)
        assert sum(x.co2 for x in own) == pytest.approx(account.removed, abs=1e-9)
        assert sum(x.crew * (x.end - x.begin) for x in own) >= account.person_seconds - 1e-3


def test_the_outlook_is_of_the_supply_that_runs_out_first(landing_plan):
    flight = landing_plan.flight
    for each in living.outlooks(flight):
        others = [x for x in supplies.used(flight) if x.element == each.element]
        vital = [x for x in others if x.supply in ("oxygen", "potable_water", "packed_food")]
        assert each.days <= min(x.days_left for x in vital)
        assert each.until == pytest.approx(each.left_at + each.days * DAY)
    assert living.first_out(flight).days == min(x.days for x in living.outlooks(flight))


def test_contingency_is_asked_for_where_it_is_stated(flown, landing_plan):
    """One finding for a cabin that lacks it, a remedy that is flown, none without the key."""
    assert list(living.findings(landing_plan.flight)) == []
    assert living.contingency(landing_plan.flight) == DAY
    least = living.first_out(landing_plan.flight)
    flight = flown({"contingency": {"time": f"{least.days + 0.5:.3f} d"}})
    found = [x for x in living.findings(flight) if x.check == "contingency"]
    assert [x.event for x in found] == [least.element]
    assert found[0].severity == "needs a decision"
    enough = flown({"contingency": {"time": f"{least.days - 0.01:.3f} d"}})
    assert list(living.findings(enough)) == []
    (told,) = remedies.for_findings(flight, tuple(found))
    assert any(x.closes for x in told.remedies)


def test_the_air_settles_where_removal_meets_what_people_give_off(flown):
    """By hand: 3 x 0.998 kg/d through 60 m3/h is 2.08 g/m3, 116 Pa at 295 K."""
    flight = flown(AIR)
    (curve,) = living.co2_curves(flight)
    early = (curve.t > 3.0 * HOUR) & (curve.t < 60.0 * HOUR)
    assert curve.pressure[early] == pytest.approx(115.9, abs=0.5)
    assert curve.exhausted is None
    assert curve.beyond is None


def test_air_goes_stale_once_canisters_are_full(flown):
    """By hand: 3 x 0.998 kg/d into 6 m3 is 0.322 Pa/s, from the settled 116 Pa on."""
    flight = flown({**AIR, f"{SHIP}.lioh_canisters.count": 3})
    (curve,) = living.co2_curves(flight)
    assert curve.exhausted is not None
    rise = 3.0 * 0.998 / DAY / 44.009e-3 * 8.31446 * 295.0 / 6.0
    later = next(t for t, p in zip(curve.t, curve.pressure, strict=True) if p > curve.limit)
    pressure = float(np.interp(later, curve.t, curve.pressure))
    assert (pressure - 115.9) / (later - curve.exhausted) == pytest.approx(rise, rel=0.01)
    assert "air" not in {x.check for x in living.findings(flight)}  # the supplies tell of it


def test_air_that_is_cleaned_too_slowly_is_told(flown):
    """At 15 m3/h it settles at four times what it has at 60: 464 Pa."""
    flight = flown({**AIR, f"{SHIP}.air_flow": "15 m3/h"})
    finding = next(x for x in living.findings(flight) if x.check == "air")
    assert "passes its limit" in finding.text
    assert finding.found == "463.5 Pa"


def test_a_cabin_without_these_keys_is_not_examined(landing_plan):
    assert living.co2_curves(landing_plan.flight) == ()


def test_stores_of_the_other_cabin_count_where_the_plan_says_so(flown):
    """The ship lives from the lander's oxygen while joined; every gram stays in the books."""
    short = {f"{SHIP}.oxygen": "8 kg", f"{LANDER}.oxygen": "30 kg"}
    alone, joined = flown(short), flown({**short, f"{LANDER}.shared": ["oxygen"]})
    gave, took = (
        joined.end.ledger.account(x).moved.get("oxygen", 0.0)
        for x in ("ascent_stage", "crew_module")
    )
    assert took > 0.5
    assert gave == pytest.approx(-took, abs=1e-12)
    when = [x.end.ledger.account("crew_module").ran_out["oxygen"] for x in (alone, joined)]
    assert when[1] > when[0] + 10.0 * HOUR
    for name in ("crew_module", "ascent_stage"):
        for passage in joined.passages:
            account = passage.after.ledger.account(name)
            assert balance(joined.scenario.elements[name], account).open == pytest.approx(
                0.0, abs=1e-9
            )


def test_a_crew_without_oxygen_is_one_message(flown):
    """It says that none is carried, not that it runs short."""
    found = [x for x in supplies.findings(flown({f"{SHIP}.oxygen": "0 kg"})) if "oxygen" in x.text]
    assert len(found) == 1
    assert "crew module carries no oxygen, and people live there" in found[0].text
    assert found[0].severity == "stops the flight"


@pytest.mark.parametrize("key", ["oxygen_leakage", "air_flow", "co2_limit"])
def test_negative_rates_are_refused(reference_landing, key):
    unit = {"oxygen_leakage": "kg/d", "air_flow": "m3/h", "co2_limit": "Pa"}[key]
    with pytest.raises(mplan.ScenarioError, match=f"supplies.{key}: found .*too small"):
        reference_landing.change({f"{SHIP}.{key}": f"-1 {unit}"})
