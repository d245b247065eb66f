"""Three-vectors, against NumPy's own."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mplan.physics.vectors import cross, length, turned, unit

parts = st.floats(-1e9, 1e9).map(lambda x: round(x, 6))
threes = st.tuples(parts, parts, parts).map(np.array)
sizeable = threes.filter(lambda a: np.linalg.norm(a) > 1e-3)


@given(threes, threes)
def test_cross(a, b):
    np.testing.assert_array_equal(cross(a, b), np.cross(a, b))


@given(threes)
def test_length(a):
    assert length(a) == np.linalg.norm(a)


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
