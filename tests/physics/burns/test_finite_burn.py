"""What burns lose, against an independent integration and against known limits."""

from math import log, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mplan.physics import constants as c
from mplan.physics.burns.finite_burn import fly_finite

LEO = c.R_EARTH + 185e3
LLO = c.R_MOON + 111e3
TLI = {"thrust": 1.0e6, "isp": 420.0, "mass": 130e3}
LOI = {"thrust": 90e3, "isp": 314.0, "mass": 44e3}


def circular(radius, mu):
    return sqrt(mu / radius)


def injection(**craft):
    slow = circular(LEO, c.MU_EARTH)
    return fly_finite(LEO, slow, 3150.0, c.MU_EARTH, **craft)


def insertion(**craft):
    return fly_finite(LLO, circular(LLO, c.MU_MOON), 880.0, c.MU_MOON, **craft, arriving=True)


def integrated(radius, slow, energy, mu, thrust, isp, mass, sign):
    """Return delta-v and duration of thrust along the velocity, by SciPy, to an energy.

    `sign` is +1 for mass flowing off and -1 for the arriving burn, seen backwards in time.
    """
    flow = thrust / (isp * c.G0)

    def rates(t, y):
        r, v = y[:2], y[2:]
        push = thrust / (mass - sign * flow * t)
        return [*v, *(-mu * r / np.linalg.norm(r) ** 3 + push * v / np.linalg.norm(v))]

    def done(_, y):
        return np.dot(y[2:], y[2:]) / 2.0 - mu / np.linalg.norm(y[:2]) - energy

    done.terminal = True
    run = solve_ivp(
        rates, (0.0, 5000.0), [radius, 0.0, 0.0, slow], "DOP853", events=done, rtol=1e-11, atol=1e-6
    )
    t = run.t[-1]
    return sign * isp * c.G0 * log(mass / (mass - sign * flow * t)), t


@pytest.mark.parametrize(("thrust", "isp"), [(3e5, 420), (1e6, 420), (4e6, 420), (1e6, 100)])
def test_leaving_against_scipy(thrust, isp):
    slow = circular(LEO, c.MU_EARTH)
    energy = (slow + 3150.0) ** 2 / 2.0 - c.MU_EARTH / LEO
    theirs, duration = integrated(LEO, slow, energy, c.MU_EARTH, thrust, isp, 130e3, 1.0)
    burn = fly_finite(LEO, slow, 3150.0, c.MU_EARTH, thrust=thrust, isp=isp, mass=130e3)
    assert burn.delta_v == pytest.approx(theirs, abs=0.01)  # as the module claims
    assert burn.duration == pytest.approx(duration, abs=0.02)


@pytest.mark.parametrize("thrust", [4e4, 9e4, 4e5])
def test_arriving_against_scipy(thrust):
    """Flown forwards from where it began, thrust against the motion, the burn ends level."""
    slow = circular(LLO, c.MU_MOON)
    burn = fly_finite(
        LLO, slow, 880.0, c.MU_MOON, thrust=thrust, isp=314.0, mass=44e3, arriving=True
    )
    end_mass = 44e3 - thrust / (314.0 * c.G0) * burn.duration
    energy = (slow + 880.0) ** 2 / 2.0 - c.MU_MOON / LLO
    theirs, duration = integrated(LLO, slow, energy, c.MU_MOON, thrust, 314.0, end_mass, -1.0)
    assert burn.delta_v == pytest.approx(theirs, abs=0.01)
    assert burn.duration == pytest.approx(duration, abs=0.02)


@pytest.mark.parametrize("burn", [injection, insertion])
def test_no_thrust_is_too_great(burn):
    """The loss falls with the square of the burn's time: a hundredfold thrust leaves none."""
    craft = TLI if burn is injection else LOI
    losses = [burn(**{**craft, "thrust": craft["thrust"] * k}).loss for k in (1, 10, 100)]
    assert losses[0] > losses[1] > losses[2] > 0.0
    assert losses[0] / losses[1] == pytest.approx(100.0, rel=0.35)
    assert losses[2] < 0.02


@pytest.mark.parametrize("burn", [injection, insertion])
def test_near_robbins_estimate(burn):
    """Loss about dv (w t)^2 / 24 (Robbins 1966; the formula from memory, for a steady push).

    w is the angular rate at the radius. The mass falls by half during such burns and the craft
    climbs, so the true loss is of that size and not equal: within a factor of two.
    """
    craft, radius, mu = (TLI, LEO, c.MU_EARTH) if burn is injection else (LOI, LLO, c.MU_MOON)
    found = burn(**craft)
    estimate = found.delta_v * mu / radius**3 * found.duration**2 / 24.0
    assert 0.5 < found.loss / estimate < 2.0


def test_duration_is_the_tanks():
    found = injection(**TLI)
    burnt = TLI["thrust"] / (TLI["isp"] * c.G0) * found.duration
    mass = TLI["mass"]
    assert TLI["isp"] * c.G0 * log(mass / (mass - burnt)) == pytest.approx(found.delta_v)
    assert found.delta_v - found.loss == pytest.approx(3150.0)


@pytest.mark.parametrize("burn", [injection, insertion])
def test_too_little_thrust(burn):
    craft = TLI if burn is injection else LOI
    with pytest.raises(ArithmeticError, match="thrust is too low for the burn to end in one arc"):
        burn(**{**craft, "thrust": craft["thrust"] / 40.0})


def test_a_craft_that_is_all_burnt():
    with pytest.raises(ArithmeticError, match="would use up the craft itself"):
        insertion(thrust=1e4, isp=20.0, mass=44e3)
