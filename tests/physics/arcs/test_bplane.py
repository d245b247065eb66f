"""The aiming plane: its geometry, and that an aim flown comes true."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mplan.physics import twobody
from mplan.physics.arcs import bplane
from mplan.physics.constants import MU_MOON, R_MOON
from mplan.physics.vectors import unit

parts = st.floats(-1.0, 1.0)
directions = st.tuples(parts, parts, parts).map(np.array).filter(lambda a: a @ a > 0.05).map(unit)


@given(directions, directions, st.floats(500.0, 2000.0), st.floats(1.0, 20.0))
def test_an_aim_flown_passes_at_the_wanted_periapsis(s, other, v_inf, radii):
    """From far up the asymptote, shifted by B, Kepler's motion must pass where it was aimed."""
    normal = np.cross(s, other)
    assume(np.linalg.norm(normal) > 0.1)
    periapsis = radii * R_MOON
    incoming = bplane.Asymptote(s, v_inf, np.zeros(3))
    b = bplane.aim_point(incoming, periapsis, unit(normal), MU_MOON)
    far = 1e12  # m: the asymptote bends by mu / (v_inf^2 far), 2e-5 rad at most, so take it in
    r = b - far * s
    v = sqrt(v_inf**2 + 2.0 * MU_MOON / far) * s
    passing = twobody.conic(r, v, MU_MOON)
    assert passing.periapsis == pytest.approx(periapsis, rel=1e-3)
    np.testing.assert_allclose(unit(passing.h), unit(normal), atol=1e-6)


@given(directions, directions, st.floats(1.05, 3.0), st.floats(-1.5, 0.5))
def test_asymptote_of_a_state_is_where_it_came_from(x, other, e, nu):
    """Against Kepler's motion run back a year: direction to v_inf, and the miss to B."""
    normal = np.cross(x, other)
    assume(np.linalg.norm(normal) > 0.1)
    y = np.cross(unit(normal), x)
    p = 2.0e6 * (1.0 + e)
    r = p / (1.0 + e * np.cos(nu)) * (np.cos(nu) * x + np.sin(nu) * y)
    v = sqrt(MU_MOON / p) * (-np.sin(nu) * x + (e + np.cos(nu)) * y)
    incoming = bplane.asymptote(r, v, MU_MOON)
    early, pace = twobody.kepler(r, v, -3e7, MU_MOON)
    # The path still bends by mu / (v_inf^2 r) there.
    np.testing.assert_allclose(unit(pace), incoming.s, atol=2e-3)
    left = pace @ pace - 2.0 * MU_MOON / np.linalg.norm(early)
    assert sqrt(left) == pytest.approx(incoming.v_inf, rel=1e-6)
    assert np.linalg.norm(incoming.s) == pytest.approx(1.0)
    assert incoming.b @ incoming.s == pytest.approx(0.0, abs=1e-4)
    # B is the momentum's lever: |B| v_inf = |h|, and B lies in the orbit's plane.
    assert np.linalg.norm(incoming.b) * incoming.v_inf == pytest.approx(
        np.linalg.norm(np.cross(r, v))
    )
    np.testing.assert_allclose(
        unit(np.cross(incoming.b, incoming.s)), unit(np.cross(r, v)), atol=1e-9
    )
    assert np.linalg.norm(early) > 1e10


def test_aim_point_of_a_state_is_its_own_miss():
    r, v = np.array([1.9e6, 0.0, 0.0]), np.array([0.0, 2500.0, 300.0])
    incoming = bplane.asymptote(r, v, MU_MOON)
    aimed = bplane.aim_point(incoming, 1.9e6, np.cross(r, v), MU_MOON)
    np.testing.assert_allclose(aimed, incoming.b, atol=1e-3)


def test_components_span_the_plane():
    r, v = np.array([1.9e6, 0.0, 0.0]), np.array([0.0, 2500.0, 300.0])
    incoming = bplane.asymptote(r, v, MU_MOON)
    pole = np.array([0.0, 0.0, 1.0])
    assert np.hypot(*bplane.components(incoming, incoming.b, pole)) == pytest.approx(
        np.linalg.norm(incoming.b)
    )
    t_hat = unit(np.cross(incoming.s, pole))
    assert bplane.components(incoming, t_hat, pole) == pytest.approx((1.0, 0.0), abs=1e-12)
    r_hat = np.cross(incoming.s, t_hat)
    assert bplane.components(incoming, r_hat, pole) == pytest.approx((0.0, 1.0), abs=1e-12)


def test_a_closed_orbit_has_no_asymptote():
    with pytest.raises(ValueError, match="closed: it has no asymptote"):
        bplane.asymptote(np.array([1.9e6, 0.0, 0.0]), np.array([0.0, 1600.0, 0.0]), MU_MOON)
