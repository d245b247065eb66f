"""Constant thrust along linear tangents: against closed forms and another integrator."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import STILL, LocalState, SteadyThrust, TangentSteering
from mplan.physics.constants import G0, MU_MOON, R_MOON

PUSH = SteadyThrust(45e3, 312.0, 16500.0)
LEVEL = (0.0, 0.0, R_MOON + 15e3, 1690.0, 0.0, 0.0)
SPIN = (1e-7, -2.6e-6, 2e-7)


def by_scipy(start, duration, law, push, spin):
    """The same flight in axes that do not turn, by DOP853, and back into those that do."""
    w = np.array(spin)
    rate = np.linalg.norm(w)
    cross = np.array([[0, -w[2], w[1]], [w[2], 0, -w[0]], [-w[1], w[0], 0]]) / (rate or 1.0)

    def turn(t):  # from turning axes to still ones
        angle = rate * t
        return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross

    def rates(t, y):
        r, back = y[:3], turn(t).T
        aimed = lt.direction((*back @ r, 0.0, 0.0, 0.0), law, t)
        push_now = push.thrust / (push.mass - push.flow * t)
        pull = -MU_MOON * r / np.linalg.norm(r) ** 3
        return np.concatenate([y[3:], pull + push_now * (turn(t) @ np.array(aimed))])

    r, v = np.array(start[:3]), np.array(start[3:])
    begin = np.concatenate([r, v + np.cross(w, r)])
    end = solve_ivp(rates, (0.0, duration), begin, "DOP853", rtol=1e-12, atol=1e-6).y[:, -1]
    back = turn(duration).T
    place = back @ end[:3]
    return place, back @ end[3:] - np.cross(w, place)


@pytest.mark.parametrize("spin", [STILL, SPIN])
def test_another_integrator(spin):
    """DOP853, in axes that do not turn, agrees: the step's error over 500 s is under 0.3 m."""
    law = TangentSteering(-1.0, 0.07, 9e-4, 0.02, -4e-5)
    end = lt.fly_tangents(LEVEL, 450.0, law, PUSH._replace(thrust=41e3), spin, steps=20)
    place, velocity = by_scipy(LEVEL, 450.0, law, PUSH._replace(thrust=41e3), spin)
    assert end[:3] == pytest.approx(place, abs=0.3)
    assert end[3:] == pytest.approx(velocity, abs=0.003)


def test_straight_up_in_closed_form():
    """Tsiolkovsky's vertical flight: v = c ln(m0/m) - g t, h = c t (1 - ln(r)/(r-1)) - g t^2/2.

    Sutton & Biblarz 2017, sec. 4.3. Gravity falls off by 2 h / R, which is 2e-4 here.
    """
    ground, time, push = R_MOON, 30.0, SteadyThrust(16e3, 311.0, 5000.0)
    up = lt.fly_tangents(
        (0, 0, ground, 0, 0, 0), time, TangentSteering(1.0, 1e9), push, STILL, steps=10
    )
    exhaust, ratio = push.isp * G0, push.mass / push.mass_after(time)
    gravity = MU_MOON / ground**2
    speed = exhaust * log(ratio) - gravity * time
    height = exhaust * time * (1.0 - log(ratio) / (ratio - 1.0)) - gravity * time**2 / 2.0
    assert up[5] == pytest.approx(speed, rel=5e-4)
    assert up[2] - ground == pytest.approx(height, rel=5e-4)


def test_a_coast_is_keplers():
    """Without thrust, half a minute forward and back leads to where it began."""
    there = lt.free_fall(LEVEL, 30.0, SPIN)
    assert lt.free_fall(there, -30.0, SPIN) == pytest.approx(LEVEL, abs=1e-3)


def test_a_state_as_the_ground_has_it():
    """Radius, climb, speed ahead and the angle past the place, by hand."""
    seen = lt.local_state((-3e5, 4e3, 1.7e6, 1600.0, 12.0, 300.0))
    assert seen.radius == pytest.approx(np.linalg.norm([3e5, 4e3, 1.7e6]))
    assert seen.angle == pytest.approx(np.arctan2(-3e5, 1.7e6))
    assert (seen.across, seen.across_speed) == (4e3, 12.0)
    total = seen.climb**2 + seen.speed**2
    assert total == pytest.approx(1600.0**2 + 300.0**2, rel=1e-3)


def test_the_guess_is_near():
    """The closed form leads within a few per cent of speed and some km of height."""
    wanted = LocalState(R_MOON + 2300.0, -44.0, 154.0, 0.0, 0.0, 0.0)
    guess = lt.guess_tangents(lt.local_state(LEVEL), wanted, PUSH)
    law = TangentSteering(-1.0, guess.up, guess.up_rate)
    end = lt.local_state(lt.fly_tangents(LEVEL, guess.duration, law, PUSH, STILL, steps=20))
    assert end.speed == pytest.approx(154.0, abs=80.0)
    assert end.radius == pytest.approx(wanted.radius, abs=25e3)


def test_a_thrust_that_does_not_carry_the_weight():
    """It is refused with its acceleration."""
    wanted = LocalState(R_MOON + 2300.0, -44.0, 154.0, 0.0, 0.0, 0.0)
    with pytest.raises(ArithmeticError, match=r"0\.73 m/s2 .* does not carry the weight"):
        lt.guess_tangents(lt.local_state(LEVEL), wanted, PUSH._replace(thrust=12e3))


def test_a_burn_longer_than_the_craft_lasts():
    """A burn past the last kilogram is refused."""
    with pytest.raises(ArithmeticError, match="use up the craft itself"):
        lt.fly_tangents(LEVEL, 2000.0, TangentSteering(-1.0), PUSH, STILL, steps=5)
