"""Level flight up to orbital speed."""

from __future__ import annotations

import pytest

from mplan.physics.burns import level_gain
from mplan.physics.constants import MU_EARTH

RADIUS = 6.55e6
ROUND = (MU_EARTH / RADIUS) ** 0.5


def test_much_thrust_costs_the_speed_alone():
    """With thrust far above the weight nothing is lost."""
    spent = level_gain.velocity(6e3, ROUND, 1e4, RADIUS, MU_EARTH)
    assert spent == pytest.approx(ROUND - 6e3, rel=1e-6)


def test_little_thrust_costs_more():
    """At 6 m/s2, flown out in small steps of time, the same velocity is spent within 0.1 %."""
    v, spent, gravity = 5.5e3, 0.0, MU_EARTH / RADIUS**2
    while v < ROUND:
        down = gravity * (1.0 - v * v / ROUND**2)
        v += (6.0**2 - down**2) ** 0.5 * 0.05
        spent += 6.0 * 0.05
    found = level_gain.velocity(5.5e3, ROUND, 6.0, RADIUS, MU_EARTH)
    assert found == pytest.approx(spent, rel=1e-3)


def test_too_little_thrust_is_refused():
    """Where the weight is more than the thrust there is no level flight."""
    with pytest.raises(ArithmeticError, match=r"does not carry the weight, 4\.\d\d m/s2"):
        level_gain.velocity(5.5e3, ROUND, 4.0, RADIUS, MU_EARTH)
