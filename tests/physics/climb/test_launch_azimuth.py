"""Launch azimuth over ground, and the azimuth of the orbit's plane over the pad."""

from __future__ import annotations

from math import cos, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mplan.physics import constants as c
from mplan.physics.climb import launch_azimuth as la


@given(st.floats(0.0, 2.0 * np.pi), st.floats(-1.5, 1.5))
def test_each_is_the_inverse_of_the_other(azimuth, latitude):
    """Any azimuth, any latitude, to rounding."""
    there = la.of_plane(azimuth, latitude)
    assert la.over_ground(there, latitude) == pytest.approx(azimuth, abs=1e-12)


def test_the_plane_points_nearer_to_due_east_unless_the_launch_goes_west():
    """The ground carries eastwards what lifts off; due east and due west it goes with the plane."""
    for degrees in (40.0, 72.0, 89.0):
        plane = la.of_plane(radians(degrees), 0.5)
        assert radians(degrees) < plane < np.pi / 2
        assert la.of_plane(np.pi - radians(degrees), 0.5) == pytest.approx(np.pi - plane)
    assert la.of_plane(np.pi / 2, 0.5) == pytest.approx(np.pi / 2)
    assert la.of_plane(3 * np.pi / 2, 0.5) == pytest.approx(3 * np.pi / 2)


def test_velocity_across_the_plane_vanishes_at_the_turning_speed():
    """Over ground along the launch azimuth at `TURN_SPEED`: the ground's drift is then made up for.

    To the second order of the ground's share, 0.6 % of that speed at the equator.
    """
    latitude, plane = 0.0, radians(60.0)
    along = la.over_ground(plane, latitude)
    speed = la.TURN_SPEED
    east = speed * np.sin(along) + c.W_EARTH * c.R_EARTH
    north = speed * np.cos(along)
    across = east * np.cos(plane) - north * np.sin(plane)
    assert abs(across) < 0.006 * speed


def test_limits_stay_within_a_turn():
    """Limits around north do not become negative or more than a turn."""
    low, high = la.limits_of_plane(0.0, 2.0 * np.pi, 0.5)
    assert 0.0 < low < radians(8.0)
    assert high == 2.0 * np.pi
    assert la.limits_of_plane(1.0, 2.0, np.pi / 2) == pytest.approx((1.0, 2.0), abs=1e-9)
    assert cos(low) > 0.0
