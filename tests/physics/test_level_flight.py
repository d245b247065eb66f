"""Level powered flight: the closed form against an independent integration."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from mplan.physics.constants import MU_MOON, R_MOON
from mplan.physics.level_flight import change_speed

G = MU_MOON / R_MOON**2
CIRCULAR = (MU_MOON / R_MOON) ** 0.5


@pytest.mark.parametrize("acceleration", [1.7, 2.5, 4.0, 10.0])
def test_against_quadrature(acceleration):
    """Legendre's 24 points hold 1e-5 even where the thrust barely carries the weight."""

    def per_speed(v):
        return (1.0 - (G * (1.0 - (v / CIRCULAR) ** 2) / acceleration) ** 2) ** -0.5

    slow, fast = 30.0, 1670.0
    spent, _ = quad(per_speed, slow, fast, epsabs=1e-9, limit=400)
    ground, _ = quad(lambda v: v * per_speed(v) / acceleration, slow, fast, epsabs=1e-6, limit=400)
    found = change_speed(slow, fast, acceleration, R_MOON, MU_MOON)
    assert found.delta_v == pytest.approx(spent, rel=3e-5)
    assert found.distance == pytest.approx(ground, rel=3e-5)


def test_against_an_integrated_flight():
    """Thrust tilted so that the height holds, flown in the plane by SciPy."""
    acceleration, slow, fast = 3.0, 100.0, 1600.0

    def rates(_, y):
        weight = G * (1.0 - (y[0] / CIRCULAR) ** 2)
        return [(acceleration**2 - weight**2) ** 0.5, y[0]]

    def done(_, y):
        return y[0] - fast

    done.terminal = True
    run = solve_ivp(rates, (0.0, 1e4), [slow, 0.0], events=done, rtol=1e-10, atol=1e-6)
    found = change_speed(slow, fast, acceleration, R_MOON, MU_MOON)
    assert found.delta_v == pytest.approx(acceleration * run.t[-1], abs=0.01)
    assert found.distance == pytest.approx(run.y[1, -1], abs=10.0)


def test_weightless_limits():
    """At circular speed nothing is lost, nor with endless thrust."""
    near = change_speed(CIRCULAR - 1.0, CIRCULAR, 2.0, R_MOON, MU_MOON)
    assert near.delta_v == pytest.approx(1.0, abs=1e-5)
    strong = change_speed(0.0, 1600.0, 1e4, R_MOON, MU_MOON)
    assert strong.delta_v == pytest.approx(1600.0, abs=1e-3)


@pytest.mark.parametrize("acceleration", [0.5, 1.6, G])
def test_refuses_thrust_below_the_weight(acceleration):
    with pytest.raises(ArithmeticError, match=r"does not carry the weight, 1\.62 m/s2"):
        change_speed(0.0, 1600.0, acceleration, R_MOON, MU_MOON)


def test_the_slow_end_decides():
    slow = 800.0
    weight = G * (1.0 - (slow / CIRCULAR) ** 2)
    assert change_speed(slow, 1600.0, 1.001 * weight, R_MOON, MU_MOON).delta_v > 800.0
    with pytest.raises(ArithmeticError, match="does not carry the weight"):
        change_speed(slow, 1600.0, 0.9999 * weight, R_MOON, MU_MOON)
    assert np.isfinite(change_speed(1700.0, 1800.0, 0.1, R_MOON, MU_MOON).delta_v)
