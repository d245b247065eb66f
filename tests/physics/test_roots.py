"""Roots between two places, against SciPy's."""

from math import cos, exp, pi, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from mplan.physics.roots import highest, root

CASES = [
    (lambda x: cos(x) - x, 0.0, 2.0),
    (lambda x: x**3 - 2.0 * x - 5.0, 2.0, 3.0),
    (lambda x: exp(-x) - 1e-9, 0.0, 60.0),
    (lambda x: (x - 1.0) ** 9, -3.0, 2.5),
    (lambda x: tan(x) - 1e6, 0.0, pi / 2.0),
    (lambda x: 3.0 - 1.0 / (x * 1e9), 1e-10, 1e-8),
]


@pytest.mark.parametrize(("f", "low", "high"), CASES)
def test_as_scipy_has_it(f, low, high):
    """To what its 1e-15 and the function's own rounding leave (a ninth power is flat)."""
    wanted = brentq(f, low, high, xtol=1e-18, maxiter=500)
    assert root(f, low, high) == pytest.approx(wanted, rel=1e-12, abs=1e-15)
    assert root(f, high, low) == pytest.approx(wanted, rel=1e-12, abs=1e-15)


@given(st.floats(-50.0, 50.0), st.floats(0.1, 90.0), st.floats(0.1, 90.0))
def test_a_known_root(x, below, above):
    assert root(lambda y: (y - x) ** 3, x - below, x + above) == pytest.approx(x, abs=1e-4)
    assert root(lambda y: y - x, x - below, x + above) == pytest.approx(x, abs=1e-12)


def test_few_calls_are_made():
    """Where the function is smooth, some ten; within a wide tolerance, fewer."""
    calls = []

    def f(x):
        calls.append(x)
        return cos(x) - x

    for tolerance, most in ((0.0, 14), (1e-2, 8)):
        calls.clear()
        assert root(f, 0.0, 2.0, tolerance) == pytest.approx(0.7390851332151607, abs=1e-2)
        assert len(calls) <= most


def test_a_root_at_the_end():
    assert root(lambda x: x, 0.0, 1.0) == 0.0
    assert root(lambda x: x - 1.0, 0.0, 1.0) == 1.0


def test_no_root():
    with pytest.raises(ValueError, match="no root is known to lie between"):
        root(lambda x: x * x + 1.0, -1.0, 1.0)


SKEW = 0.4 / 2.06  # with it the parabola through -1, 0 and 1 has its vertex at 0, not at 0.1


def lopsided(x):
    """Highest at 0.1; all places within 1 of it are lower on the left."""
    return -((x - 0.1) ** 2) * (1.0 + SKEW * (x - 0.1))


@pytest.mark.parametrize("near", [0.009, 1e-3])
def test_the_highest_place_of_a_lopsided_curve(near):
    """The first parabola stays in the middle; wide as it is, that is not believed."""
    assert lopsided(-1.0) == pytest.approx(lopsided(1.0))
    assert highest(lopsided, (-1.0, 0.0, 1.0), near) == pytest.approx(0.1, abs=2.0 * near)


def test_a_parabola_is_known_by_three_places():
    """Its vertex in the middle ends the search; aside, the place it leads to is looked at once."""
    for vertex, looks in ((0.0, 3), (0.3, 4)):
        asked = []

        def f(x, vertex=vertex, asked=asked):
            asked.append(x)
            return -((x - vertex) ** 2)

        assert highest(f, (-1.0, 0.0, 1.0), 0.03) == pytest.approx(vertex, abs=1e-9)
        assert len(asked) == looks
