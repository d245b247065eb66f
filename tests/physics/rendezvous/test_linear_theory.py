"""The linear theory of relative motion against its own known results.

Curtis 2014, sec. 7.4, and Fehse 2003, ch. 3 (the formulas from memory).
"""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.rendezvous import relative

CIRCLE = c.R_MOON + 110e3  # m, any circle: the results hold for all


def test_linear_theory_after_a_burn_ahead():
    """A revolution after a burn along the track: 3 T dv behind, at the old height, and drifting."""
    rate, dv = sqrt(c.MU_MOON / CIRCLE**3), 1.0
    period = 2.0 * pi / rate
    end = relative.clohessy_wiltshire(rate, period) @ np.array([0.0, 0.0, 0.0, 0.0, dv, 0.0])
    assert end[:3] == pytest.approx([0.0, -3.0 * period * dv, 0.0], abs=1e-6)


def test_linear_theory_after_a_burn_upwards():
    """Half a revolution after a burn up: 4 dv / n behind at the old height; then back again."""
    rate, dv = sqrt(c.MU_MOON / CIRCLE**3), 1.0
    start = np.array([0.0, 0.0, 0.0, dv, 0.0, 0.0])
    assert relative.clohessy_wiltshire(rate, pi / rate) @ start == pytest.approx(
        [0.0, -4.0 * dv / rate, 0.0, -dv, 0.0, 0.0], abs=1e-6
    )
    assert relative.clohessy_wiltshire(rate, 2.0 * pi / rate) @ start == pytest.approx(
        start, abs=1e-6
    )
