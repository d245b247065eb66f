"""Interpolation between even nodes, beside SciPy's."""

from __future__ import annotations

import numpy as np
from scipy.interpolate import CubicHermiteSpline

from mplan.physics.bodies.even_nodes import EvenNodes


def test_as_scipy_has_it():
    """Values and rates to rounding, at nodes, between them, at both ends and beyond."""
    nodes = np.arange(-3.0, 4.0, 0.5)
    values = np.stack([np.sin(nodes), nodes**3], axis=-1)
    rates = np.stack([np.cos(nodes), 3.0 * nodes**2], axis=-1)
    theirs, ours = CubicHermiteSpline(nodes, values, rates), EvenNodes(-3.0, 0.5, values, rates)
    for t in (-3.2, -3.0, -2.6, 0.0, 0.13, 1.5, 3.49, 3.5, 3.7):
        value, rate = ours.at(t)
        np.testing.assert_allclose(value, theirs(t), rtol=1e-12, atol=1e-12)
        np.testing.assert_allclose(rate, theirs(t, 1), rtol=1e-12, atol=1e-12)


def test_a_cubic_is_met_exactly():
    """A polynomial of third order is its own interpolation."""
    nodes = np.array([0.0, 2.0])
    value, rate = EvenNodes(0.0, 2.0, nodes**3 - nodes, 3.0 * nodes**2 - 1.0).at(0.7)
    np.testing.assert_allclose([value, rate], [0.7**3 - 0.7, 3.0 * 0.7**2 - 1.0], rtol=1e-13)
