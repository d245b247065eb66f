"""Lambert's problem: the solver's answers, flown by Kepler's motion."""

from math import cos, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mplan.physics.arcs.lambert import lambert
from mplan.physics.constants import MU_EARTH
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import kepler

R1 = np.array([7.0e6, 0.0, 1.0e6])

# Both libraries compile when first used, and compiling meets notices about older NumPy binaries.
pytestmark = pytest.mark.filterwarnings("ignore:numpy.ndarray size changed")


@settings(deadline=None, max_examples=60)
@given(
    around=st.floats(0.2, 6.0).filter(lambda x: abs(x - np.pi) > 0.05),
    distance=st.floats(7e6, 4e8),
    hours=st.floats(0.3, 90.0),
    prograde=st.booleans(),
)
def test_the_conic_arrives(around, distance, hours, prograde):
    """A metre in 4e8 m is the solver's 1e-10 with a wide margin; fast flights are hyperbolas."""
    r2 = distance * np.array([cos(around), sin(around), 0.1])
    v1, v2 = lambert(R1, r2, hours * 3600.0, MU_EARTH, prograde=prograde)
    there, pace = kepler(R1, v1, hours * 3600.0, MU_EARTH)
    np.testing.assert_allclose(there, r2, rtol=0, atol=max(1.0, 1e-6 * distance))
    np.testing.assert_allclose(pace, v2, rtol=0, atol=1e-5 * np.linalg.norm(v2))
    assert bool(np.cross(R1, v1)[2] > 0.0) is prograde


@pytest.mark.parametrize("low_path", [True, False])
def test_whole_revolutions(low_path):
    r2 = np.array([-2.0e6, 9.0e6, 0.0])
    v1, _ = lambert(R1, r2, 40000.0, MU_EARTH, revolutions=2, low_path=low_path)
    np.testing.assert_allclose(kepler(R1, v1, 40000.0, MU_EARTH)[0], r2, atol=1.0)


def test_refusals():
    with pytest.raises(ValueError, match="the duration must be above 0 s"):
        lambert(R1, 2.0 * R1 + 1.0, 0.0, MU_EARTH)
    with pytest.raises(ValueError, match="on one line with the body"):
        lambert(R1, -3.0 * R1, 1e4, MU_EARTH)
    with pytest.raises(NoArc, match="in 3000 s with 4 revolutions"):
        lambert(R1, np.array([0.0, 8e6, 0.0]), 3000.0, MU_EARTH, revolutions=4)


def test_the_places_are_left_as_they_were():
    before = R1.copy()
    lambert(R1, np.array([0, 8_000_000, 0]), 3000, MU_EARTH)
    np.testing.assert_array_equal(R1, before)
