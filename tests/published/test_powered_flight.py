"""Powered descent and ascent as flown here against those of NASA TN D-6846 (Bennett 1972).

Its tables from memory (the report was found, its tables could not be read there). The lander's
masses: data/mass_history.csv. Engines from memory: descent 10 500 lbf rated, 305 s; ascent
15.6 kN, 309 s.
"""

from __future__ import annotations

from math import sqrt

import pytest

from mplan.physics import twobody
from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import SteadyThrust
from mplan.physics.constants import MU_MOON, R_MOON
from mplan.physics.landing import ascent
from mplan.physics.landing.descent import DescentProfile, Lander, braking_angle, fly_descent

FT, LB, LBF = 0.3048, 0.45359237, 4.4482216152605
NMI = 1852.0
SPIN = (0.0, -2.6617e-6, 0.0)  # rad/s: a flight against the Moon's turn, in its equator
RATED = 10500.0 * LBF
# The report brakes at 94 % for 358 s and at about 57 % for 122 s, to the high gate; here it is
# one thrust throughout, with the same impulse.
BRAKING = (358.0 * 0.94 + 122.0 * 0.57) / 480.0
TURN = 15.0 * FT  # m/s, by which the table's inertial speeds differ from those over the ground


@pytest.fixture(scope="module")
def descent(table):
    """The descent from 50 000 ft of a 60 n mi orbit, with the gates of the report."""
    mass = table("mass_history")["descent"]["before_lb"] * LB
    low = R_MOON + 48814.0 * FT
    start = (0.0, 0.0, low, 5560.0 * FT + TURN, 0.0, 0.0)
    way = DescentProfile(
        trim=26.0,
        braking=BRAKING,
        high_altitude=7515.0 * FT,
        high_speed=sqrt(506.0**2 - 145.0**2) * FT + TURN,
        high_sink=145.0 * FT,
        low_altitude=512.0 * FT,
        low_speed=sqrt(55.0**2 - 16.0**2) * FT + TURN,
        low_sink=16.0 * FT,
        hover_altitude=20.0,
        hover=20.0,
        redesignation=0.0,
        touchdown_speed=3.0 * FT,
    )
    lander = Lander(mass, RATED, 0.10 * RATED, 305.0, 8000.0)
    ahead = braking_angle(start, lander, way, R_MOON, SPIN)
    assert 0.2 < ahead < 0.35
    return fly_descent(turned_back(start, ahead), lander, way, R_MOON, SPIN)


def turned_back(state, angle):
    """The state an angle [rad] short of where it is, in its own plane."""
    from math import cos, sin

    s, c = sin(-angle), cos(-angle)
    x, y, z, u, v, w = state
    return c * x + s * z, y, c * z - s * x, c * u + s * w, v, c * w - s * u


def test_descent(descent):
    """2000 to 2090 m/s in all, within 3 % of the table's 6775 ft/s, in its 714 s within 5 %.

    The time is that of gates and hover, of which the report's own are given in part only.
    """
    assert 2000.0 < descent.delta_v < 2090.0
    assert descent.delta_v == pytest.approx(6775.0 * FT, rel=0.03)
    assert descent.duration == pytest.approx(714.0, rel=0.05)


def test_braking(descent):
    """At the high gate: 5375 ft/s spent and 8 min 26 s gone, 3 % and 5 %.

    One thrust where the report has two moves when the speed is lost, and so the gravity loss.
    """
    gate = descent.phase("approach").t
    spent = descent.phase("trim").delta_v + descent.phase("braking").delta_v
    assert spent == pytest.approx(5375.0 * FT, rel=0.03)
    assert gate == pytest.approx(506.0, rel=0.05)


def test_from_the_gate_down(descent):
    """High gate to ground: 1400 ft/s in 208 s; 15 %, for the hover is not in the table."""
    below = descent.delta_v - sum(descent.phase(x).delta_v for x in ("trim", "braking"))
    assert below == pytest.approx(1400.0 * FT, rel=0.15)
    assert descent.duration - descent.phase("approach").t == pytest.approx(208.0, rel=0.15)


def test_ascent(table):
    """6056 ft/s within 3 %, in 7 min 18 s within 4 %: to 60 000 ft, 9 by 45 n mi."""
    mass = table("mass_history")["ascent"]["before_lb"] * LB
    low, high = R_MOON + 60000.0 * FT, R_MOON + 45.0 * NMI
    fast = twobody.speed(low, (low + high) / 2.0, MU_MOON)
    assert fast == pytest.approx(5536.0 * FT, rel=0.002)
    start = (0.0, 0.0, R_MOON, -TURN, 0.0, 0.0)
    push = SteadyThrust(15.6e3, 309.0, mass)
    flown = ascent.fly_ascent(start, push, 10.0, ascent.InsertionTarget(low, fast))
    assert flown.delta_v == pytest.approx(6056.0 * FT, rel=0.03)
    assert flown.duration == pytest.approx(438.0, rel=0.04)
    assert lt.local_state(flown.end).radius == pytest.approx(low, abs=1.0)
