"""The closed form of ballistic entry: where it holds, and where it refuses."""

from __future__ import annotations

from math import exp, sin

import pytest

from mplan.physics import constants as c
from mplan.physics.entry import allen_eggers

AIR = {"scale_height": 7160.0, "density": 1.225}


def test_the_peak_is_where_the_speed_has_fallen_by_the_root_of_e():
    """At the peak's altitude the path's own speed law gives V / sqrt(e)."""
    peak = allen_eggers.peak_acceleration(7500.0, -30.0 * c.DEG, 350.0, **AIR)
    there = 1.225 * exp(-peak.altitude / 7160.0)
    left = exp(-there * 7160.0 / (2.0 * 350.0 * sin(30.0 * c.DEG)))
    assert left == pytest.approx(exp(-0.5), rel=1e-9)
    drag = there * peak.speed**2 / (2.0 * 350.0)
    assert peak.value == pytest.approx(drag, rel=1e-9)


@pytest.mark.parametrize("angle", [-1.0, -6.48, -9.0, 0.0, 5.0])
def test_shallow_paths_are_refused(angle):
    """A lunar return's angle would give 36 g by the formula: it says no instead."""
    with pytest.raises(ArithmeticError, match="an entry this shallow"):
        allen_eggers.peak_acceleration(11032.0, angle * c.DEG, 350.0, **AIR)
    with pytest.raises(ArithmeticError, match="an entry this shallow"):
        allen_eggers.peak_heating(11032.0, angle * c.DEG, 350.0, **AIR)


def test_what_is_too_heavy_meets_the_ground_first():
    """100 t/m2 straight down peaks below the ground."""
    with pytest.raises(ArithmeticError, match="reaches the ground before the peak"):
        allen_eggers.peak_acceleration(7500.0, -90.0 * c.DEG, 1e5, **AIR)
