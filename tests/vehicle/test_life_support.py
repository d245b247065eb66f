"""A person's daily balance, and how far supplies go."""

from __future__ import annotations

import pytest

from mplan.physics.constants import DAY
from mplan.scenario import Supplies
from mplan.vehicle import life_support as life


def test_what_goes_in_comes_out():
    """NASA/CR-2004-208941 (BVAD 2004): 5.361 kg a day in and out, to a gram."""
    taken = life.OXYGEN + life.FOOD + life.WATER
    given = life.CO2 + life.WASTE_WATER + life.WASTE_SOLIDS
    assert taken == pytest.approx(5.361, abs=5e-4)
    assert given == pytest.approx(5.361, abs=5e-4)


def test_absorber_never_beats_its_chemistry():
    """2 LiOH + CO2: at least 1.088 kg of hydroxide a kilogram of CO2 (molar masses)."""
    least = 2 * 23.948 / 44.009
    assert life.RATES["co2_absorber"] / life.CO2 > least
    assert pytest.approx(least, rel=1e-3) == 1.0 / life.ABSORBED


def test_days_left_are_those_of_who_is_aboard():
    """Two people, three days gone, oxygen for five more."""
    supplies = Supplies(oxygen=f"{16 * life.OXYGEN} kg")
    oxygen = life.uses("cabin", supplies, 6 * DAY, crew=2)[0]
    assert oxygen.used == pytest.approx(6 * life.OXYGEN)
    assert oxygen.days_left == pytest.approx(5.0)


def test_nobody_aboard_has_no_days_left():
    """An empty cabin's supplies last no particular time."""
    assert all(x.days_left is None for x in life.uses("cabin", Supplies(), DAY, crew=0))
