"""Sharing a turn of the plane between burns that change the speed as well."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from mplan.physics.burns.shared_turn import combined, share_turn
from mplan.physics.twobody import plane_change

CAPTURE, ROUND, FAR = (2520.0, 1670.0), (1670.0, 1630.0), (1500.0, 1500.0)


def test_a_combined_burn_is_the_triangle_of_velocities():
    """A turn alone is Vallado's plane change; no turn the difference; a half turn the sum."""
    assert combined(1500.0, 1500.0, 0.2) == pytest.approx(plane_change(1500.0, 0.2))
    assert combined(2520.0, 1670.0, 0.0) == pytest.approx(850.0)
    assert combined(2520.0, 1670.0, np.pi) == pytest.approx(4190.0)


@pytest.mark.parametrize("turn", [0.02, -0.15, 0.3, 0.6])
def test_two_burns_share_as_a_search_over_one_angle_finds(turn):
    """Against SciPy's bounded search on the sum, within its own resolution."""
    first, second = share_turn(turn, [CAPTURE, ROUND])
    assert first + second == pytest.approx(turn)

    def total(x):
        return float(combined(*CAPTURE, x) + combined(*ROUND, turn - x))

    least = min(
        minimize_scalar(total, bounds=sorted((a * turn, b * turn)), method="bounded").fun
        for a, b in ((0.0, 0.5), (0.5, 1.0), (0.0, 1.0))
    )
    assert total(first) == pytest.approx(least, abs=0.02)


@given(
    st.floats(-1.2, 1.2), st.lists(st.sampled_from([CAPTURE, ROUND, FAR]), min_size=1, max_size=3)
)
def test_shares_add_up_and_none_is_dearer_than_any_alone(turn, speeds):
    """Whatever the burns: the sum of shares is the turn, the sum of costs at most any one's."""
    shares = share_turn(turn, speeds)
    assert sum(shares) == pytest.approx(turn)
    cost = sum(float(combined(*each, x)) for each, x in zip(speeds, shares, strict=True))
    for alone in range(len(speeds)):
        other = sum(
            float(combined(*each, turn if i == alone else 0.0)) for i, each in enumerate(speeds)
        )
        assert cost <= other + 1e-9


def test_a_burn_that_brakes_takes_nearly_all_of_a_small_turn():
    """Its cost begins with no slope, that of a turn alone with the whole speed."""
    first, last = share_turn(0.05, [CAPTURE, FAR])
    assert (first, last) == pytest.approx((0.05, 0.0))
