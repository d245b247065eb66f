"""Three-vectors, against NumPy's own."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mplan.physics.vectors import (
    across,
    cosine_between,
    cross,
    crossed,
    directed,
    dotted,
    floats,
    inner,
    length,
    scaled,
    turned,
    turned_floats,
    unit,
)

parts = st.floats(-1e9, 1e9).map(lambda x: round(x, 6))
threes = st.tuples(parts, parts, parts).map(np.array)
ROUNDED = 4e-15  # some twenty roundings of a double
sizeable = threes.filter(lambda a: np.linalg.norm(a) > 1e-3)


@given(threes, threes)
def test_cross(a, b):
    np.testing.assert_array_equal(cross(a, b), np.cross(a, b))


@given(threes)
def test_length(a):
    assert length(a) == pytest.approx(np.linalg.norm(a), rel=ROUNDED)


@given(threes, threes)
def test_inner(a, b):
    most = ROUNDED * np.linalg.norm(a) * np.linalg.norm(b)
    assert inner(a, b) == pytest.approx(float(a @ b), abs=most)


def test_what_has_no_length_has_no_direction():
    with pytest.warns(RuntimeWarning, match="invalid value"):
        assert np.isnan(unit(np.zeros(3))).all()


@given(sizeable)
def test_unit(a):
    assert np.linalg.norm(unit(a)) == pytest.approx(1.0)
    np.testing.assert_allclose(unit(a) * np.linalg.norm(a), a, rtol=1e-12)


@settings(deadline=None)  # SciPy loads in the first example
@given(sizeable, sizeable, st.floats(-7.0, 7.0))
def test_turned_against_scipy(a, axis, angle):
    from scipy.spatial.transform import Rotation

    theirs = Rotation.from_rotvec(unit(axis) * angle).apply(a)
    np.testing.assert_allclose(turned(a, unit(axis), angle), theirs, atol=1e-9 * np.linalg.norm(a))


@given(threes, sizeable, st.floats(-7.0, 7.0))
def test_plain_floats_do_what_arrays_do(a, b, angle):
    one, other, size = floats(a), floats(b), np.linalg.norm(a) * np.linalg.norm(b)
    np.testing.assert_array_equal(crossed(one, other), np.cross(a, b))
    assert dotted(one, other) == pytest.approx(float(a @ b), abs=ROUNDED * size)
    np.testing.assert_array_equal(scaled(one, angle), a * angle)
    np.testing.assert_allclose(directed(other), unit(b), rtol=ROUNDED, atol=0.0)
    axis = directed(other)
    np.testing.assert_allclose(
        across(one, axis), a - (a @ unit(b)) * unit(b), atol=ROUNDED * np.linalg.norm(a)
    )
    np.testing.assert_array_equal(turned_floats(one, axis, angle), turned(a, np.array(axis), angle))


def test_no_cosine_lies_beyond_one():
    """The product of two directions that are one does, by rounding, for some of them."""
    some = [unit(np.array(each)) for each in np.random.default_rng(1).normal(size=(200, 3))]
    assert max(inner(each, each) for each in some) > 1.0
    assert max(cosine_between(each, each) for each in some) == 1.0
    assert min(cosine_between(each, -each) for each in some) == -1.0
    assert cosine_between(some[0], some[1]) == inner(some[0], some[1])
