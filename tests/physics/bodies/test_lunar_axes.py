"""Axes over a place on the Moon: right-handed, and they turn as the Moon does."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics.bodies import lunar_axes, selenography
from mplan.physics.constants import R_MOON
from mplan.physics.vectors import unit

T = 9.9e8
SITE = (0.3, 0.4)
NORMAL = unit(np.array([0.1, -0.4, -0.9]))


@pytest.mark.parametrize("made", [lunar_axes.site_axes, lunar_axes.plane_axes])
def test_axes_are_right_handed(made):
    """A rotation matrix, whose y lies on the side of the orbit's normal."""
    axes = made(selenography.site_position(*SITE, T), NORMAL, T)
    assert axes.matrix @ axes.matrix.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes.matrix) == pytest.approx(1.0)
    assert axes.matrix[1] @ NORMAL > 0.5


def test_z_is_over_the_place_or_in_the_plane():
    """`site_axes` looks straight up through the site, `plane_axes` keeps to the orbit's plane."""
    place = selenography.site_position(*SITE, T)
    assert lunar_axes.site_axes(place, NORMAL, T).matrix @ place == pytest.approx(
        [0, 0, R_MOON], abs=1e-6
    )
    flat = lunar_axes.plane_axes(place, NORMAL, T)
    assert flat.matrix[1] == pytest.approx(NORMAL)
    assert flat.matrix[0] @ place == pytest.approx(0.0, abs=1e-6)


def test_the_ground_stands_still_in_turning_axes():
    """A site's own motion by the IAU series leaves less than 0.05 m/s over ten minutes."""
    place = selenography.site_position(*SITE, T)
    axes = lunar_axes.site_axes(place, NORMAL, T)
    motion = (
        selenography.site_position(*SITE, T + 300.0) - selenography.site_position(*SITE, T - 300.0)
    ) / 600.0
    assert np.linalg.norm(motion) == pytest.approx(4.4, abs=0.3)
    *where, u, v, w = axes.turning(place, motion)
    assert where == pytest.approx([0.0, 0.0, R_MOON], abs=1e-6)
    assert [u, v, w] == pytest.approx([0.0, 0.0, 0.0], abs=0.05)
    assert axes.standing(place)[3:] == pytest.approx(axes.matrix @ motion, abs=0.05)


def test_there_and_back():
    """States go into still axes and back."""
    axes = lunar_axes.site_axes(selenography.site_position(*SITE, T), NORMAL, T)
    r, v = np.array([1e6, 2e6, -3e5]), np.array([100.0, -1500.0, 20.0])
    again = axes.icrf(axes.still(r, v))
    assert again[0] == pytest.approx(r)
    assert again[1] == pytest.approx(v)
