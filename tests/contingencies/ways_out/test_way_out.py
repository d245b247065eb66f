"""A way out tells of itself."""

import pytest

from mplan.contingencies.ways_out.way_out import WayBurn, WayOut


@pytest.mark.parametrize(
    ("name", "closed", "told"),
    [
        ("trim by thrusters", "trim: takes 9 m/s", "trim by thrusters: takes 9 m/s"),
        ("home by thrusters", "trim: takes 9 m/s", "home by thrusters: trim: takes 9 m/s"),
        ("trim by thrusters", "no engine is left", "trim by thrusters: no engine is left"),
    ],
)
def test_a_burn_is_named_once(name, closed, told):
    burn = WayBurn("trim", "x", "y", 0.0, 9.0, 1.0)
    assert WayOut(name, 0.0, (), (burn,), closed=closed).reason == told
