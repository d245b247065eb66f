"""Surface tension against a small push: the Bond number, and the time to fall through a tank."""

from __future__ import annotations

from math import sqrt

import pytest

from mplan.physics.burns.settling import FALLS, REORIENTS, bond_number, time_to_settle
from mplan.physics.constants import G0


def test_the_bond_number_is_weight_over_surface_tension():
    """Oxygen, 1 m radius, a ten-thousandth of gravity: by hand."""
    assert bond_number(1141.0, 1e-4 * G0, 1.0, 0.0132) == pytest.approx(84.8, abs=0.1)


@pytest.mark.parametrize("factor", [0.5, 3.0])
def test_it_grows_with_the_push_and_with_the_square_of_the_radius(factor):
    """Twice as wide is as good as four times the push."""
    once = bond_number(71.0, 1e-3, 2.0, 0.0019)
    assert bond_number(71.0, 1e-3 * factor, 2.0, 0.0019) == pytest.approx(factor * once)
    assert bond_number(71.0, 1e-3, 2.0 * factor, 0.0019) == pytest.approx(factor**2 * once)


def test_small_tanks_need_a_push_and_large_ones_hardly_any():
    """A tank of 10 cm clings at 1e-4 g, one of 5 m runs to its end at a millionth of gravity."""
    assert bond_number(1004.0, 1e-4 * G0, 0.05, 0.067) < REORIENTS
    assert bond_number(71.0, 1e-5 * G0, 3.3, 0.0019) > REORIENTS


def test_the_liquid_falls_through_its_tank():
    """What is pushed for that long has covered the tank's length, and half as much again."""
    push, length = 5e-3, 9.0
    t = time_to_settle(push, length)
    assert 0.5 * push * t**2 == pytest.approx(FALLS * length)
    assert t > sqrt(2.0 * length / push)
