"""Slender-body theory against closed forms: base area, centre of pressure, fins."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from mplan.physics.climb import normal_force


def test_any_nose_gives_two_per_radian_on_its_base():
    """Munk: whatever its shape, a body that begins in a point has a slope of 2 on its base area."""
    cone = normal_force.frustum(0.0, 4.0, foot=10.0, length=6.0)
    blunt = normal_force.frustum(0.0, 4.0, foot=16.0, length=0.0)
    stepped = [normal_force.frustum(0.0, 1.0, 12.0, 3.0), normal_force.frustum(1.0, 4.0, 10.0, 2.0)]
    assert cone.slope == pytest.approx(2.0 * 4.0 * pi)
    assert blunt.slope == pytest.approx(cone.slope)
    assert sum(each.slope for each in stepped) == pytest.approx(cone.slope)


def test_centre_of_pressure_of_a_cone():
    """Two thirds of its length from the tip (Barrowman 1967, from memory)."""
    assert normal_force.frustum(0.0, 4.0, 10.0, 6.0).station == pytest.approx(16.0 - 4.0)


def test_centre_of_pressure_of_a_shoulder():
    """Barrowman's X = L/3 (1 + (1 - k)/(1 - k2)) for k = 1/2: 5/9 of its length from the top."""
    shoulder = normal_force.frustum(2.0, 4.0, 0.0, 9.0)
    assert shoulder.station == pytest.approx(9.0 - 5.0)
    assert shoulder.slope == pytest.approx(2.0 * pi * (2.0**2 - 1.0**2))


def test_a_cylinder_gives_nothing_and_a_boattail_takes_away():
    assert normal_force.frustum(4.0, 4.0, 0.0, 30.0).slope == 0.0
    assert normal_force.frustum(4.0, 2.0, 0.0, 3.0).slope == pytest.approx(-2.0 * pi * 3.0)


def test_moment_of_a_cone_cylinder():
    """By hand: 25.13 m2/rad at 12 m, about a centre of mass at 5 m."""
    body = [normal_force.frustum(0.0, 4.0, 10.0, 6.0), normal_force.frustum(4.0, 4.0, 0.0, 10.0)]
    assert normal_force.moment(body, 5.0) == pytest.approx(8.0 * pi * 7.0)
    assert normal_force.centre_of_pressure(body) == pytest.approx(12.0)
    assert normal_force.centre_of_pressure(body[1:]) is None


def test_fins_by_hand():
    """Four fins of 2 m2 and 1 m span on 2 m: 16/4 (1/2)2 ... worked out with Barrowman's formula.

    4 n (s/d)2 / (1 + sqrt(1 + (2 l/(root + tip))2)) = 4 x 4 x 0.25 / (1 + sqrt(1 + 0.25)) on the
    body's 3.1416 m2; the body beside them adds r/(s + r) = 1/2.
    """
    expected = 4.0 / (1.0 + sqrt(1.25)) * pi
    assert normal_force.fins(4, 2.0, 1.0, 2.0) == pytest.approx(expected)
    assert normal_force.beside_body(1.0, 2.0) == pytest.approx(1.5)
