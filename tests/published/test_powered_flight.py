"""Landing and lift-off of Apollo 11 against level flight in closed form, with allowances.

Masses: data/mass_history.csv. Thrusts and specific impulse from memory: descent engine 45.0 kN
at most, ascent engine 15.6 kN, 311 s both. Delta-v: Bennett, NASA TN D-6846 (from memory).
"""

from itertools import pairwise
from math import exp

import pytest

from mplan.physics import twobody
from mplan.physics.constants import G0, MU_MOON, R_MOON
from mplan.physics.level_flight import change_speed

FT, LB, EXHAUST = 0.3048, 0.45359237, 311.0 * G0
GRAVITY = MU_MOON / R_MOON**2
STEPS = 40  # of like speed, in each of which the mass is held


def stepped(slow, fast, thrust, mass, sign):
    """Return the delta-v [m/s] between two speeds while the mass falls, by level flight.

    `sign` is +1 where the flight begins at `fast` (a landing) and -1 where it ends there.
    """
    edges = [slow + (fast - slow) * k / STEPS for k in range(STEPS + 1)]
    spans = list(pairwise(edges))
    spent = 0.0
    for low, high in spans[::-1] if sign > 0 else spans:
        burn = change_speed(low, high, thrust / mass, R_MOON + 15e3, MU_MOON).delta_v
        spent, mass = spent + burn, mass * exp(-burn / EXHAUST)
    return spent


def test_braking(table):
    """From 50 000 ft of a 60 n mi orbit to high gate: 5375 ft/s of the table, 5 %.

    At 92.5 % of full thrust (memory), from perilune speed to the 506 ft/s of high gate. Level
    flight leaves out that 12 km are lost on the way, whose height is worth (v_c^2 - v^2) small
    change, and the 26 s at low thrust with which the burn begins.
    """
    fast = twobody.speed(R_MOON + 15240.0, R_MOON + (15240.0 + 60 * 1852.0) / 2.0, MU_MOON)
    mass = table("mass_history")["descent"]["before_lb"] * LB
    spent = stepped(506.0 * FT, fast, 0.925 * 45.0e3, mass, 1.0)
    assert spent == pytest.approx(5375.0 * FT, rel=0.05)


def test_descent_with_allowances(table):
    """2000 to 2090 m/s in all, and within 3 % of the table's 6775 ft/s.

    After high gate the table spends 1400 ft/s, of them 477 by hand (read); that part is an
    allowance here too: 208 s from gate to ground, the weight held and 506 ft/s taken off.
    """
    fast = twobody.speed(R_MOON + 15240.0, R_MOON + (15240.0 + 60 * 1852.0) / 2.0, MU_MOON)
    mass = table("mass_history")["descent"]["before_lb"] * LB
    braking = stepped(506.0 * FT, fast, 0.925 * 45.0e3, mass, 1.0)
    allowance = 208.0 * GRAVITY + 506.0 * FT * 0.5
    assert 2000.0 < braking + allowance < 2090.0
    assert braking + allowance == pytest.approx(6775.0 * FT, rel=0.03)


def test_ascent_with_allowances(table):
    """Within 3 % of the table's 6056 ft/s, to 5536 ft/s at 60 000 ft.

    The allowance is for the rise: ten seconds straight up, and the work of 18 km of height
    against gravity at orbital speed. It is a least one, for the climb is steered while the craft
    is still slow: the sum comes out 2 % low (1813 m/s), never high.
    """
    fast = 5536.0 * FT
    mass = table("mass_history")["ascent"]["before_lb"] * LB
    rise = 10.0 * GRAVITY + 18288.0 * GRAVITY / fast
    spent = stepped(0.0, fast, 15.6e3, mass, -1.0) + rise
    assert 0.97 * 6056.0 * FT < spent < 1.01 * 6056.0 * FT
