"""A person's daily balance, and how far supplies go."""

from __future__ import annotations

import pytest

from mplan.physics.constants import DAY, HOUR
from mplan.physics.living import chemistry as life
from mplan.scenario import Supplies
from mplan.scenario.living.crew_day import CrewDay
from mplan.vehicle.living.account import LivingAccount
from mplan.vehicle.living.flows import Span, flows
from mplan.vehicle.living.life_support import SupplyUse
from mplan.vehicle.living.life_support import uses as uses_of

CANISTERS = {"count": 10, "mass": "2 kg", "rated": "36 h"}
ONE_DAY = Span(1, DAY, DAY)


def uses(*spans: Span, aboard: int | None = None, **stated) -> dict[str, SupplyUse]:
    """What has become of supplies after spans, the last one's people still aboard."""
    carried, account, day = Supplies(**stated), LivingAccount(), CrewDay()
    for span in spans or (ONE_DAY,):
        account = account.lived(span, flows(carried, day, span))
    last = account.last if aboard is None else aboard
    return {x.supply: x for x in uses_of("cabin", carried, account, day, aboard=last)}


def test_what_goes_in_comes_out():
    """NASA/CR-2004-208941 (BVAD 2004): 5.361 kg a day in and out, to a gram.

    Its figures as printed: oxygen 0.835, dry food 0.617, water 3.909; carbon dioxide 0.998, faeces
    0.032 and 0.091, sweat and urine solids 0.018 and 0.059, breath and sweat 2.277, urine 1.886.
    """
    given = life.CO2 + life.FAECES + life.URINE + life.HUMIDITY
    given += life.URINE_SOLIDS + life.SWEAT_SOLIDS
    assert pytest.approx(5.361, abs=5e-4) == life.OXYGEN + life.DRY_FOOD + life.WATER
    assert given == pytest.approx(5.361, abs=5e-4)


@pytest.mark.parametrize("food", [{}, {"food_water": "40 %", "food_packaging": "10 %"}])
def test_what_an_element_carries_is_what_it_stores_and_removes(food):
    """Whatever food is packed in and however wet it is, the same mass goes through a person."""
    day, share = uses(**food), 1.0 - Supplies(**food).food_packaging
    carried = day["oxygen"].used + day["potable_water"].used + day["hygiene_water"].used
    carried += share * day["packed_food"].used
    stored = sum(day[x].used for x in ("co2_removal", "urine_and_condensate", "faeces"))
    assert carried == pytest.approx(stored, abs=5e-4)
    assert carried == pytest.approx(5.361 + life.HYGIENE, abs=5e-4)


def test_wet_food_saves_potable_water_and_weighs_more():
    dry, wet = uses(food_water="0 %"), uses(food_water="40 %")
    assert dry["potable_water"].used == pytest.approx(life.WATER)
    more = wet["packed_food"].used - dry["packed_food"].used
    assert more > 0.0
    assert wet["potable_water"].used == pytest.approx(
        life.WATER - 0.4 * wet["packed_food"].used, rel=1e-12
    )


def test_packed_food_of_a_day():
    """About 0.8 kg a person and day as packed (flown practice, from memory)."""
    assert uses()["packed_food"].used == pytest.approx(0.8, abs=0.02)


def test_hydroxide_never_beats_its_chemistry():
    """2 LiOH + CO2 -> Li2CO3 + H2O by molar masses [g/mol]: 23.948, 44.009, 18.015."""
    assert pytest.approx(44.009 / (2 * 23.948), rel=1e-3) == life.ABSORBED
    assert pytest.approx(18.015 / 44.009, rel=1e-3) == life.REACTION_WATER


def test_canisters_count_people_by_the_hour():
    """Three people for 295 h on canisters of 36 h: 24.6 of them (the usual reckoning)."""
    canisters = {**CANISTERS, "count": 25}
    lived = Span(3, 295 * HOUR, 295 * HOUR)
    removal = uses(lived, lioh_canisters=canisters)["co2_removal"]
    assert removal.used / (removal.capacity / 25) == pytest.approx(24.6, abs=0.05)
    assert removal.days_left == pytest.approx((25 * 36 - 3 * 295) / 3 / 24)
    assert removal.short == 0.0


def test_canisters_give_water_off_and_equipment_does_not():
    with_, without = uses(lioh_canisters=CANISTERS), uses(co2_removal={"name": "bed", "crew": 1})
    more = with_["urine_and_condensate"].used - without["urine_and_condensate"].used
    assert more == pytest.approx(0.409 * 0.998, abs=1e-3)


def test_equipment_is_not_used_up():
    removal = uses(co2_removal={"name": "bed", "crew": 3}, lioh_canisters=CANISTERS)["co2_removal"]
    assert (removal.capacity, removal.short, removal.days_left) == (None, 0.0, None)


def test_leakage_and_fillings_come_on_top():
    """Two days in use by three: leakage goes by the days, fillings by their number."""
    gas = {"oxygen_leakage": "0.5 kg/d", "nitrogen_leakage": "1.5 kg/d", "repressurisations": 2}
    cabin = {"cabin_oxygen": "1.2 kg", "cabin_nitrogen": "4 kg", "nitrogen": "20 kg"}
    day = uses(Span(3, 2 * DAY, 2 * DAY, fillings=2), **gas, **cabin)
    assert day["oxygen"].used == pytest.approx(6 * 0.835 + 2 * 0.5 + 2 * 1.2)
    assert day["nitrogen"].used == pytest.approx(2 * 1.5 + 2 * 4.0)
    assert day["nitrogen"].days_left == pytest.approx((20.0 - 11.0) / 1.5)


def test_nitrogen_that_nothing_takes_lasts_no_particular_time():
    assert uses(nitrogen="5 kg")["nitrogen"].days_left is None


def test_days_left_are_those_of_who_is_aboard():
    """Two people, three days gone, oxygen for five more."""
    lived = Span(2, 3 * DAY, 3 * DAY)
    oxygen = uses(lived, oxygen=f"{16 * life.OXYGEN} kg")["oxygen"]
    assert oxygen.used == pytest.approx(6 * life.OXYGEN)
    assert oxygen.days_left == pytest.approx(5.0)


def test_nobody_aboard_has_no_days_left():
    """An empty cabin's supplies last no particular time."""
    assert all(x.days_left is None for x in uses(aboard=0).values())


def test_what_is_carried_is_weighed():
    """Each supply counts once, storage not at all."""
    loads = {
        "oxygen": "1 kg",
        "nitrogen": "2 kg",
        "potable_water": "4 kg",
        "hygiene_water": "8 kg",
        "packed_food": "16 kg",
        "urine_and_condensate_storage": "400 kg",
        "faecal_storage": "400 kg",
        "cabin_oxygen": "400 kg",
    }
    assert Supplies(**loads, lioh_canisters=CANISTERS).mass == pytest.approx(31.0 + 20.0)
