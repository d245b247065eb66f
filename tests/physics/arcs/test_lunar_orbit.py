"""Low lunar orbits: J2's turns against an integrated orbit, and the small geometry."""

from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import lunar_orbit
from mplan.physics.bodies import selenography
from mplan.physics.vectors import cross, turned, unit

T = 3.0e8
RADIUS = c.R_MOON + 111e3


def orbit(inclination, argument=0.0, e=0.0):
    """Return an orbit at its periapsis, `argument` [rad] past the node on the Moon's equator."""
    pole = selenography.lunar_pole(T)
    node = unit(cross(pole, np.array([0.3, 0.4, 0.1])))
    across = cos(inclination) * cross(pole, node) + sin(inclination) * pole
    r = RADIUS * (cos(argument) * node + sin(argument) * across)
    pace = sqrt(c.MU_MOON * (1.0 + e) / RADIUS)
    return lunar_orbit.LunarOrbit(T, r, pace * (cos(argument) * across - sin(argument) * node))


@pytest.mark.parametrize("inclination", [5.0, 45.0, 90.0, 150.0, 178.0])
def test_coast_against_an_integrated_orbit(inclination, oblate):
    """Half a day, six revolutions, from eight places round the orbit.

    The osculating semi-major axis differs from the mean by up to 1.5 J2 R^2 / a sin^2 i, 0.5 km,
    so single flights drift along the track by up to 3 pi times that a revolution; the mean over
    the eight starts has no such term, and must agree to the other ripple, 0.4 km. Across the
    track, and so in the node, nothing builds up: 100 m.
    """
    duration, i = 43200.0, radians(inclination)
    ripple = 1.5 * c.J2_MOON * c.R_MOON_FIELD**2 / RADIUS * sin(i) ** 2
    drifts = []
    for argument in np.arange(8) * (pi / 4.0):
        start = orbit(i, argument)
        moon = (c.MU_MOON, c.J2_MOON, c.R_MOON_FIELD, selenography.lunar_pole(T))
        flown, pace = oblate(start.r, start.v, duration, *moon)
        end = lunar_orbit.coast(start, duration)
        drifts.append((flown - end.r) @ unit(end.v))
        assert abs((flown - end.r) @ end.normal) < 100.0
        assert abs(np.linalg.norm(flown) - RADIUS) < 60.0
        assert unit(cross(flown, pace)) @ end.normal > cos(6e-5)
    assert max(np.abs(drifts)) < 6.0 * 3.0 * pi * ripple * 1.05 + 600.0
    assert abs(np.mean(drifts)) < 400.0


def test_node_turns_as_an_integrated_orbit(oblate):
    """Three days at 150 deg: the plane's turn, 0.05 rad, is met within 0.3 %."""
    start, duration = orbit(radians(150.0)), 3 * c.DAY
    pole = selenography.lunar_pole(T)
    r, v = oblate(start.r, start.v, duration, c.MU_MOON, c.J2_MOON, c.R_MOON_FIELD, pole)

    def node(normal):
        return unit(cross(pole, normal))

    turn = np.arctan2(cross(node(start.normal), node(cross(r, v))) @ pole, 1.0)
    rate = lunar_orbit.node_rate(start.a, 0.0, start.inclination)
    assert turn == pytest.approx(rate * duration, rel=0.01)
    assert rate > 0.0  # a retrograde orbit's node moves ahead


def test_node_stands_still_in_a_polar_orbit():
    assert lunar_orbit.node_rate(RADIUS, 0.0, pi / 2) == pytest.approx(0.0, abs=1e-20)


def test_eccentric_coast_keeps_its_shape():
    start = orbit(radians(170.0), 0.4, e=0.05)
    end = lunar_orbit.coast(start, 1e5)
    assert end.a == pytest.approx(start.a)
    assert end.t == T + 1e5
    tilt = np.arccos(end.normal @ selenography.lunar_pole(T))  # the pole itself moves on by then
    assert tilt == pytest.approx(start.inclination, abs=1e-9)


def test_with_speed_and_circular():
    start = orbit(radians(170.0), 0.4, e=0.09)
    slowed = lunar_orbit.with_speed(start, 1000.0)
    assert np.linalg.norm(slowed.v) == pytest.approx(1000.0)
    np.testing.assert_allclose(unit(slowed.v), unit(start.v))
    moved = lunar_orbit.coast(start, 1500.0)
    round_ = lunar_orbit.circular(moved)
    assert round_.a == pytest.approx(np.linalg.norm(moved.r))
    assert round_.r @ round_.v == pytest.approx(0.0, abs=1e-3)
    np.testing.assert_allclose(round_.normal, moved.normal, atol=1e-12)


@pytest.mark.parametrize("lead", [0.0, 0.2, 3.0])
def test_until_over_a_place(lead):
    start = orbit(radians(175.0))
    place = turned(start.r, start.normal, 2.5) + 2e5 * start.normal
    wait = lunar_orbit.until_over(start, place, lead=lead)
    there = lunar_orbit.coast(start, wait)
    # J2 hastens the craft by up to 8e-4 of its motion, which the wait leaves out.
    ahead = (there.angle_to(place) - lead + pi) % (2 * pi) - pi
    assert abs(ahead) < 8e-4 * 2 * pi


def test_angle_off_and_angle_to():
    start = orbit(radians(120.0))
    place = turned(start.r, start.normal, 4.0)
    assert start.angle_to(place) == pytest.approx(4.0)
    assert start.angle_off(place) == pytest.approx(0.0, abs=1e-12)
    assert start.angle_off(start.normal) == pytest.approx(pi / 2)
    assert start.angle_off(start.normal + unit(start.r)) == pytest.approx(pi / 4)
