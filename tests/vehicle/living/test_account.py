"""Accounts close, and tell what ran out when."""

from __future__ import annotations

import pytest

from mplan.physics.constants import DAY
from mplan.scenario import Supplies
from mplan.scenario.elements import Element, ElementPower
from mplan.scenario.living.crew_day import CrewDay
from mplan.vehicle.living.account import LivingAccount, balance
from mplan.vehicle.living.flows import Span, flows

CANISTERS = {"count": 10, "mass": "2 kg", "rated": "36 h"}


def element(power: object = None, **supplies: object) -> Element:
    parts = {"role": "crew module", "dry_mass": "5 t", "diameter": "4 m", "supplies": supplies}
    return Element.model_validate(parts | ({"power": power} if power else {}))


def lived(
    each: Element, crew: int, days: float, account: LivingAccount | None = None
) -> LivingAccount:
    """An account after so many days, drawn in one piece."""
    before, span = account or LivingAccount(), Span(crew, days * DAY, days * DAY)
    stores = each.supplies or Supplies()
    after = before.lived(span, flows(stores, CrewDay(), span))
    return after.since(before, stores, (before.seconds + span.seconds), span.seconds)


def test_what_is_used_stays_aboard_until_it_leaves():
    """Carried and kept weigh the same; only what leaks makes the element lighter."""
    loads = {"oxygen": "10 kg", "potable_water": "40 kg", "hygiene_water": "4 kg"}
    loads |= {"packed_food": "10 kg", "lioh_canisters": CANISTERS}
    tight, leaky = element(**loads), element(**loads, oxygen_leakage="1 kg/d")
    for each, lost in ((tight, 0.0), (leaky, 3.0)):
        closed = balance(each, lived(each, 2, 3.0))
        assert closed.carried == pytest.approx(84.0)
        assert closed.aboard == pytest.approx(84.0 - lost)
        assert closed.open == pytest.approx(0.0, abs=1e-9)
        assert closed.lacking == 0.0


def test_what_was_never_there_makes_no_craft_lighter():
    """A leak of nitrogen that nobody carries."""
    each = element(oxygen="30 kg", nitrogen_leakage="2 kg/d", potable_water="30 kg")
    closed = balance(each, lived(each, 1, 2.0))
    assert closed.lacking > 4.0
    assert closed.aboard == pytest.approx(closed.carried)
    assert closed.open == pytest.approx(0.0, abs=1e-9)


def test_when_a_supply_ran_out():
    """Oxygen for five days of one person lasts two people two days and a half."""
    each = element(oxygen=f"{5 * 0.835} kg", potable_water="50 kg")
    account = lived(each, 2, 2.0)
    assert "oxygen" not in account.ran_out
    account = lived(each, 2, 4.0, account)
    assert account.ran_out["oxygen"] / DAY == pytest.approx(2.5)
    assert lived(each, 2, 1.0, account).ran_out["oxygen"] / DAY == pytest.approx(2.5)
    assert account.ran_out["packed_food"] == pytest.approx(0.0, abs=1e-6)


def test_put_out_on_the_moon():
    """The full canisters go with what they took up; the one in use stays."""
    each = element(
        lioh_canisters=CANISTERS, left_on_moon=["canisters", "faeces"], potable_water="50 kg"
    )
    stores = each.supplies
    assert stores
    before = lived(each, 2, 3.5)
    after = before.put_out(stores)
    assert after.canisters_out == 4  # 7 days of one person over 36 h
    assert after.kept["faeces"] == 0.0
    takes = 0.998 * 1.5 * (1.0 - 0.409)
    assert after.overboard["canisters"] == pytest.approx(4 * (2.0 + takes))
    closed = balance(each, after)
    assert closed.open == pytest.approx(0.0, abs=1e-9)
    again = after.put_out(stores)
    assert again.overboard["canisters"] == pytest.approx(after.overboard["canisters"])


def test_fuel_cells_turn_reactants_into_water_by_weight():
    """100 kWh at 0.4 kg/kWh: 40 kg of reactants, all of it water, passed on."""
    power = {"stored_energy": "100 kWh", "supply": "0 W", "load": "1 kW"}
    each = element(power={**power, "fuel_cell": {"reactants": "0.4 kg/kWh"}})
    full = balance(each, LivingAccount())
    spent = balance(each, LivingAccount(drawn=25.0 * 3.6e6))
    assert full.aboard == pytest.approx(40.0)
    assert spent.passed_on == pytest.approx(10.0)
    assert spent.aboard == pytest.approx(30.0)
    assert spent.open == pytest.approx(0.0, abs=1e-9)


def test_water_that_does_not_fit_goes_overboard():
    """A full tank takes only what has been drunk; a larger one takes more."""
    for tank, kept in (({}, 3.0), ({"potable_water_tank": "25 kg"}, 8.0)):
        stores = Supplies.model_validate({"potable_water": "20 kg", **tank})
        account = LivingAccount(taken={"potable_water": 3.0}).given_water(10.0, stores)
        assert account.received - account.overflowed == pytest.approx(kept)
        assert account.overboard.get("water", 0.0) == pytest.approx(10.0 - kept)


def test_default_reactants_are_those_of_the_cell_voltage():
    """Faraday: 18.015 g over 2 x 96485 C at 0.9 V are 0.3734 kg/kWh; 8 of 9 parts are oxygen."""
    power = ElementPower.model_validate(
        {"stored_energy": "1 kWh", "supply": "0 W", "load": "1 kW", "fuel_cell": {}}
    )
    assert power.reactants == pytest.approx(0.3734, abs=1e-4)
