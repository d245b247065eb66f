"""Lunar ascent and aborts: the insertion is met, and what is told agrees with other methods."""

from __future__ import annotations

from math import cos, inf, sin, sqrt

import numpy as np
import pytest

from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import STILL, SteadyThrust, TangentSteering
from mplan.physics.constants import MU_MOON, R_MOON
from mplan.physics.landing import ascent, descent_abort
from mplan.physics.twobody import conic, speed

GROUND = R_MOON - 900.0
PUSH = SteadyThrust(16e3, 311.0, 5420.0)
LOW, HIGH = R_MOON + 17e3, R_MOON + 85e3
AIMED = ascent.InsertionTarget(LOW, speed(LOW, (LOW + HIGH) / 2.0, MU_MOON))
SAFE = descent_abort.SafeOrbit(R_MOON + 9e3, R_MOON + 85e3, GROUND)


def standing(off: float = 0.0):
    return 0.0, GROUND * sin(off), GROUND * cos(off), -4.6, 0.0, 0.0


@pytest.mark.parametrize("off", [0.0, 0.005, -0.03])
def test_the_insertion_orbit_is_reached(off):
    """Perilune, apolune and plane are those asked for, wherever the site lies."""
    found = ascent.fly_ascent(standing(off), PUSH, 10.0, AIMED)
    r, v = np.array(found.end[:3]), np.array(found.end[3:])
    orbit = conic(r, v, MU_MOON)
    assert orbit.a * (1.0 - orbit.e) == pytest.approx(LOW, abs=5.0)
    assert orbit.a * (1.0 + orbit.e) == pytest.approx(HIGH, abs=60.0)
    assert abs(found.end[1]) < 2.0
    assert abs(found.end[4]) < 0.02


def test_books_balance():
    """Velocity is speed and losses; it is what the propellant gives."""
    found = ascent.fly_ascent(standing(), PUSH, 10.0, AIMED)
    assert found.delta_v == pytest.approx(AIMED.speed + sum(found.losses.values()))
    assert found.delta_v == pytest.approx(PUSH.spent(found.duration))
    assert found.propellant == pytest.approx(PUSH.flow * found.duration)
    assert found.losses["gravity"] > 50.0


def test_the_rise_is_upright_and_costs_gravity():
    """Ten seconds more of it cost about ten seconds' gravity, less what height is worth."""
    short = ascent.fly_ascent(standing(), PUSH, 5.0, AIMED)
    long = ascent.fly_ascent(standing(), PUSH, 15.0, AIMED)
    gravity = MU_MOON / GROUND**2
    assert 0.3 * 10.0 * gravity < long.delta_v - short.delta_v < 1.5 * 10.0 * gravity
    upright = long.track.between(0.0, 14.9).pitch
    assert np.degrees(upright) == pytest.approx(90.0, abs=0.1)


def test_linear_tangents_are_near_the_least(monkeypatch):
    """Between the energy an ideal launch takes and a constant-pitch climb's, nearer the first.

    Least: a Hohmann-like pair of impulses, along the ground to apolune at 17 km and there.
    """
    found = ascent.fly_ascent(standing(), PUSH, 0.0, AIMED)
    leave = speed(GROUND, (GROUND + LOW) / 2.0, MU_MOON) + 4.6
    arrive = AIMED.speed - speed(LOW, (GROUND + LOW) / 2.0, MU_MOON)
    assert leave + arrive < found.delta_v < 1.11 * (leave + arrive)


def test_a_craft_too_heavy_to_lift():
    """It is refused with thrust and weight."""
    with pytest.raises(ArithmeticError, match=r"8\.0 kN does not lift a weight of 8\.8 kN"):
        ascent.fly_ascent(standing(), PUSH._replace(thrust=8e3), 10.0, AIMED)


def test_an_abort_from_the_ground_is_about_an_ascent():
    """From rest with no staging, to 9 km: within 2 % of the ascent that goes to 17 km."""
    risen = ascent.fly_ascent(standing(), PUSH, 10.0, AIMED)
    need = descent_abort.abort_delta_v((0.0, 0.0, GROUND + 20.0, -4.6, 0.0, 0.0), PUSH, 0.0, SAFE)
    assert need == pytest.approx(risen.delta_v, rel=0.02)


def test_an_abort_from_a_safe_orbit_needs_nothing():
    """On a 15 by 110 km orbit there is nothing to do."""
    r = R_MOON + 15e3
    fast = speed(r, (r + R_MOON + 110e3) / 2.0, MU_MOON)
    assert descent_abort.abort_delta_v((0.0, 0.0, r, fast, 0.0, 0.0), PUSH, 3.0, SAFE) == 0.0


def test_an_abort_needs_more_the_slower_the_craft():
    """Each loss of speed has to be made up again."""
    r = R_MOON + 12e3
    needs = [
        descent_abort.abort_delta_v((0.0, 0.0, r, fast, 0.0, -20.0), PUSH, 3.0, SAFE)
        for fast in (1600.0, 1300.0, 900.0, 500.0)
    ]
    assert needs == sorted(needs)
    assert needs[0] > 50.0
    assert needs[-1] < inf


def test_no_abort_from_a_fast_fall_near_the_ground():
    """Fifty m/s down at 400 m cannot be stopped with this thrust: 1270 m are needed."""
    low = (0.0, 0.0, GROUND + 400.0, 50.0, 0.0, -50.0)
    high = (0.0, 0.0, GROUND + 2000.0, 50.0, 0.0, -50.0)
    assert descent_abort.abort_delta_v(low, PUSH, 3.0, SAFE) == inf
    assert descent_abort.abort_delta_v(high, PUSH, 3.0, SAFE) < inf


def test_no_abort_on_a_thrust_below_the_weight():
    """It falls."""
    state = (0.0, 0.0, GROUND + 2000.0, 50.0, 0.0, -50.0)
    assert descent_abort.abort_delta_v(state, PUSH._replace(thrust=6e3), 3.0, SAFE) == inf


def test_the_dead_zone_by_flight():
    """A fall from just over the formula's height is stopped above the ground; from below it not.

    The craft gets lighter while it brakes, so that it stops a little higher than by the formula.
    """
    gravity, sink, staging = MU_MOON / GROUND**2, 30.0, 3.0
    height = descent_abort.dead_zone(sink, staging, PUSH, gravity)
    state = (0.0, 0.0, GROUND + height, 0.0, 0.0, -sink)
    state = lt.free_fall(state, staging, STILL)
    t, lowest = 0.0, inf
    while state[5] < 0.0:
        state = lt.tangent_step(state, t, 0.1, TangentSteering(1.0, 1e9), PUSH, STILL)
        t, lowest = t + 0.1, min(lowest, state[2] - GROUND)
    assert 0.0 < lowest < 0.06 * height
    assert descent_abort.dead_zone(-10.0, 3.0, PUSH, gravity) == 0.0
    assert descent_abort.dead_zone(1.0, 3.0, PUSH._replace(thrust=5e3), gravity) == inf


def test_the_orbit_at_the_end_is_by_hand():
    """Speed at perilune from vis-viva."""
    assert AIMED.speed == pytest.approx(sqrt(MU_MOON * (2.0 / LOW - 2.0 / (LOW + HIGH))))
