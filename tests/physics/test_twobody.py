"""Kepler's motion. Textbook examples are in tests/published."""

from math import acosh, cos, cosh, pi, radians, sin, sinh, sqrt

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from mplan.physics import compiling, twobody
from mplan.physics.constants import MU_EARTH, MU_MOON, R_EARTH, R_MOON

MU = MU_EARTH
radii = st.floats(6.6e6, 4e8)
anomalies = st.floats(-3.0, 3.0)
tilts = st.floats(0.0, pi)


def state(periapsis, e, nu, tilt=0.4):
    """Return a state on a conic from its elements, by the orbit equation."""
    p = periapsis * (1.0 + e)
    r = p / (1.0 + e * cos(nu))
    y = np.array([0.0, cos(tilt), sin(tilt)])
    x = np.array([1.0, 0.0, 0.0])
    place = r * (cos(nu) * x + sin(nu) * y)
    return place, sqrt(MU / p) * (-sin(nu) * x + (e + cos(nu)) * y)


def energy(r, v):
    return float(v @ v) / 2.0 - MU / float(np.linalg.norm(r))


@given(radii, st.floats(1e-4, 3.0), anomalies, tilts)
def test_conic_finds_the_elements_again(periapsis, e, nu, tilt):
    assume(1.0 + e * cos(nu) > 0.05)  # on the conic, and not out at its asymptote
    assume(abs(e - 1.0) > 1e-3)  # a parabola has no semi-major axis
    found = twobody.conic(*state(periapsis, e, nu, tilt), MU)
    assert found.e == pytest.approx(e, abs=1e-9)
    assert found.periapsis == pytest.approx(periapsis, rel=1e-8)
    assert found.true_anomaly == pytest.approx(nu, abs=1e-7 / min(e, 1.0))
    assert np.sign(found.since_periapsis) == np.sign(nu) or abs(nu) < 1e-9


@settings(deadline=None)
@given(radii, st.floats(0.0, 3.0), anomalies, st.floats(-4e5, 4e5))
def test_kepler_keeps_energy_and_momentum_and_comes_back(periapsis, e, nu, duration):
    """Ellipse, parabola and hyperbola alike; 1e-7 is what near-parabolas leave of 16 digits."""
    assume(1.0 + e * cos(nu) > 0.05)
    r, v = state(periapsis, e, nu)
    far, fast = twobody.kepler(r, v, duration, MU)
    scale = MU / np.linalg.norm(r)
    assert energy(far, fast) == pytest.approx(energy(r, v), abs=1e-7 * scale)
    np.testing.assert_allclose(
        np.cross(far, fast), np.cross(r, v), rtol=0, atol=1e-7 * np.linalg.norm(np.cross(r, v))
    )
    back, slow = twobody.kepler(far, fast, -duration, MU)
    np.testing.assert_allclose(back, r, rtol=0, atol=1e-6 * np.linalg.norm(r))
    np.testing.assert_allclose(slow, v, rtol=0, atol=1e-6 * np.linalg.norm(v))


@given(radii, st.floats(1e-3, 3.0).filter(lambda e: abs(e - 1.0) > 1e-3), anomalies)
def test_kepler_and_conic_agree_on_the_time_from_periapsis(periapsis, e, nu):
    assume(1.0 + e * cos(nu) > 0.05)
    start, pace = state(periapsis, e, 0.0)
    since = twobody.conic(*state(periapsis, e, nu), MU).since_periapsis
    there, _ = twobody.kepler(start, pace, since, MU)
    np.testing.assert_allclose(there, state(periapsis, e, nu)[0], rtol=1e-6, atol=1e-6 * periapsis)


@pytest.mark.parametrize("e", [1.0 - 1e-9, 1.0, 1.0 + 1e-9])
def test_kepler_on_a_parabola_against_barker(e):
    """Barker's equation: t = sqrt(p^3 / mu) / 2 (D + D^3 / 3), D = tan(nu / 2) (textbook)."""
    periapsis, nu = 7e6, 2.0
    d = np.tan(nu / 2.0)
    t = 0.5 * sqrt((2.0 * periapsis) ** 3 / MU) * (d + d**3 / 3.0)
    there, _ = twobody.kepler(*state(periapsis, e, 0.0), t, MU)
    np.testing.assert_allclose(there, state(periapsis, 1.0, nu)[0], rtol=1e-7)


def test_kepler_on_a_hyperbola_against_its_own_equation():
    """M = e sinh H - H, r = a (1 - e cosh H) with a below zero (textbook)."""
    periapsis, e = 1.8e6, 1.35
    a, h = -periapsis / (e - 1.0), acosh(3.0)
    t = (e * sinh(h) - h) * sqrt(-(a**3) / MU)
    there, _ = twobody.kepler(*state(periapsis, e, 0.0), t, MU)
    assert np.linalg.norm(there) == pytest.approx(a * (1.0 - e * cosh(h)), rel=1e-10)


def test_kepler_over_no_time_and_over_many_turns():
    for e in (0.3, 1.0, 1.4):
        r, v = state(7e6, e, 0.5)
        np.testing.assert_allclose(twobody.kepler(r, v, 0.0, MU), (r, v))
    r, v = state(7e6, 0.3, 0.5)
    turns = 40 * twobody.period(1e7, MU)
    np.testing.assert_allclose(twobody.kepler(r, v, turns, MU)[0], r, rtol=1e-8)


@given(radii, radii)
def test_hohmann_is_the_ellipse_between(r1, r2):
    assume(abs(r1 - r2) > 1e3)
    transfer = twobody.hohmann(r1, r2, MU)
    start = twobody.circular_speed(r1, MU) + transfer.burns[0]
    far = twobody.conic(np.array([r1, 0.0, 0.0]), np.array([0.0, start, 0.0]), MU)
    assert far.a == pytest.approx((r1 + r2) / 2.0, rel=1e-9)
    assert transfer.duration == pytest.approx(twobody.period(far.a, MU) / 2.0)
    assert np.sign(transfer.burns) == pytest.approx(np.sign([r2 - r1] * 2))
    assert transfer.total == pytest.approx(sum(map(abs, transfer.burns)))


@given(radii, radii)
def test_bielliptic_over_its_own_goal_is_hohmann(r1, r2):
    over = twobody.bielliptic(r1, r2, r2, MU)
    assert over.total == pytest.approx(twobody.hohmann(r1, r2, MU).total, abs=1e-6)


@given(st.floats(100.0, 1e4), st.floats(-pi, pi))
def test_plane_change_is_the_chord(v, angle):
    turned = np.array([v * cos(angle), v * sin(angle)])
    assert twobody.plane_change(v, angle) == pytest.approx(
        np.linalg.norm(turned - [v, 0.0]), abs=1e-9 * v
    )


def test_plane_change_off_the_horizontal_turns_only_the_level_part():
    level = twobody.plane_change(6000.0 * cos(radians(40.0)), 0.3)
    assert twobody.plane_change(6000.0, 0.3, radians(40.0)) == pytest.approx(level)


def test_speed_refuses_radii_the_orbit_does_not_reach():
    with pytest.raises(ValueError, match="semi-major axis 7000 km ends below 15000 km"):
        twobody.speed(15e6, 7e6, MU)
    assert twobody.speed(15e6, -7e6, MU) > sqrt(2.0 * MU / 15e6)  # a hyperbola reaches all


@pytest.mark.parametrize(
    ("r", "v"),
    [
        ((7e6, 0.0, 0.0), (1e3, 0.0, 0.0)),  # a straight line
        ((8e6, 0.0, 0.0), (0.0, 2.0, 0.0)),  # with mu = 16e6: a parabola
        ((4e6, 0.0, 0.0), (0.0, 2.0, 0.0)),  # a circle
    ],
)
def test_conic_refuses_what_has_no_elements(r, v):
    with pytest.raises(ValueError, match="no such elements"):
        twobody.conic(np.array(r), np.array(v), 16e6)


@given(st.floats(-30.0, 30.0))
def test_stumpff_closed_forms_join_the_series(z):
    c2, c3 = twobody.stumpff(z)
    terms2, terms3, power = 0.0, 0.0, 1.0
    factorial = 1.0
    for k in range(40):
        factorial *= (2 * k + 1) * (2 * k + 2)
        terms2 += power / factorial
        terms3 += power / (factorial * (2 * k + 3))
        power *= -z
    assert c2 == pytest.approx(terms2, rel=1e-11)
    assert c3 == pytest.approx(terms3, rel=1e-11)


def test_true_anomaly_at_the_apsides():
    assert twobody.true_anomaly_at(7e6, 1e7, 0.3) == pytest.approx(0.0, abs=1e-7)
    assert twobody.true_anomaly_at(13e6, 1e7, 0.3) == pytest.approx(pi)


def test_a_low_lunar_orbit_takes_two_hours():
    """60 n mi circular: 118.86 min, recomputed by hand from 2 pi sqrt(r^3 / mu)."""
    assert twobody.period(1737.4e3 + 60 * 1852.0, MU_MOON) / 60 == pytest.approx(118.86, abs=0.01)


def test_hohmann_to_the_moon():
    """185 km to 384 400 km, worked by hand from vis-viva: 3.1351 km/s, 119.46 h."""
    transfer = twobody.hohmann(R_EARTH + 185e3, 384.4e6, 3.986004418e14)
    assert transfer.burns[0] == pytest.approx(3135.1, abs=0.05)
    assert transfer.duration / 3600 == pytest.approx(119.46, abs=0.005)


def test_low_lunar_orbit():
    """60 n mi: 118.86 min, worked by hand."""
    period = twobody.period(R_MOON + 60 * 1852.0, MU_MOON)
    assert period / 60 == pytest.approx(118.86, abs=0.005)


def test_kepler_compiled_as_written():
    """Equal digits on ellipse, near-parabola and hyperbola, on and back, and the same refusal."""
    starts = [state(7e6, e, nu) for e in (1e-6, 0.3, 0.999999, 1.5, 8.0) for nu in (-0.9, 0.1, 1.2)]
    cases = [(r, v, t) for r, v in starts for t in (-3e5, -0.4, 1e-3, 700.0, 2e6)]
    assert compiling.load()
    refused = compiling.refused()
    quick = [_told(*each) for each in cases]
    with compiling.as_written():
        assert [_told(*each) for each in cases] == quick
    compiling.forget()
    assert compiling.refused() == refused


def _told(r, v, t):
    there, speed = twobody.kepler(r, v, t, MU)
    return there.tolist(), speed.tolist()
