"""Thrusters' propellant against published examples and budgets."""

from __future__ import annotations

import pytest

from mplan.flight.housekeeping import items
from mplan.physics.attitude import thruster_impulse
from mplan.physics.constants import DEG, G0, HOUR
from mplan.scenario import Engine
from mplan.scenario.thruster_budget import ThrusterBudget
from mplan.vehicle.control.thrusting import Arms, Thrusters
from mplan.vehicle.inertia import Inertia

POUND, FOOT = 0.45359237, 0.3048
SLUG_FT2 = 14.593903 * FOOT**2  # kg m2
POUND_FORCE = 4.4482216  # N


def test_limit_cycle_of_a_textbook():
    """112.5 kg m2, a pair of 5 N thrusters at 0.5 m, 0.5 deg, 30 ms: 26.181 s from limit to limit.

    Example after Brown, Spacecraft Propulsion (1996), in lecture notes "Space Propulsion" (read).
    0.00016 kg a pulse at 1900 m/s. The example takes two pulses a way, 1.2e-5 kg/s; each way
    begins with one that turns the drift round, so half of that. To the digits printed.
    """
    pulse = 2.0 * 5.0 * 0.030
    way = thruster_impulse.crossing_time(112.5, pulse, 0.5, 0.008727)
    assert way == pytest.approx(26.181, abs=5e-4)
    per_way = thruster_impulse.of_limit_cycle(112.5, pulse, 0.5, 0.008727, way) / 1900.0
    assert 2.0 * per_way == pytest.approx(0.00032, abs=5e-6)
    assert 2.0 * per_way / way == pytest.approx(1.2e-5, abs=5e-7)


def test_a_limit_cycle_flown_pulse_by_pulse():
    """The same craft moved on from pulse to pulse for a day takes what the formula says."""
    inertia, pulse, arm, limit, t = 112.5, 0.3, 0.5, 0.008727, 0.0
    rate, given = pulse * arm / inertia / 2.0, 0.0
    while t < 86400.0:
        t += 2.0 * limit / abs(rate)  # to the other limit
        rate -= (1.0 if rate > 0.0 else -1.0) * pulse * arm / inertia
        given += pulse
    said = thruster_impulse.of_limit_cycle(inertia, pulse, arm, limit, t)
    assert given == pytest.approx(said, rel=1e-9)


def thrusters(roll: float, pitch: float, pounds: float, arm: float) -> Thrusters:
    """Return 100 lbf thrusters of 280 s on a craft of these moments [slug ft2]."""
    engine = Engine.model_construct(
        count=16, thrust_vacuum=100.0 * POUND_FORCE, isp_vacuum=280.0, impulse_bit=None,
        pulse_isp=None,
    )  # fmt: skip
    craft = Inertia(pounds * POUND, 0.0, roll * SLUG_FT2, pitch * SLUG_FT2, 10.0)
    return Thrusters("ship", "thrusters", engine, Arms(arm, arm), craft)


def turned(by: Thrusters, rate_deg: float, count: float) -> float:
    return items.turns(by, rate_deg * DEG, count)["turns"] / POUND


def pushed(by: Thrusters, feet_per_second: float) -> float:
    return items.pushed(by, by.properties.mass, feet_per_second * FOOT) / POUND


def settled(seconds: float) -> float:
    """Return what two thrusters burn in a time [lb]."""
    return 2.0 * 100.0 * POUND_FORCE * seconds / (280.0 * G0) / POUND


def held(by: Thrusters, hours: float) -> float:
    """Return what +-0.5 deg takes [lb], with pulses of 15 ms at 60 % of the specific impulse."""
    budget = ThrusterBudget(deadband="0.5 deg", turns_a_day=0, turn_rate="0.2 deg/s")
    use = budget.during("lunar orbit, docked")
    return sum(items.coasting(by, use, budget, hours * HOUR, None).values()) / POUND


def test_a_published_landers_budget():
    """252.7 lb: lander of Apollo 11, nominal (Flight Plan, 1 July 1969, table 5-6; read).

    Its ground rules (read): turns at 2 deg/s, about three axes. From memory all the rest, written
    down before the sum was made: moments and masses at undocking and at docking, 1.68 m of lever
    arm, 280 s; 8 turns before landing and 16 after; two settlings of two thrusters for 7.5 s;
    3.3 ft/s about the ship; 2 h and 3.5 h held within 0.5 deg; burns of 49.5, 8, 24.8, 31 and
    4 ft/s to the ship. The ascent's attitude came out of the main tanks. The powered descent's
    roll is not worked out.

    20 % is what a first budget is asked for. The holding is nearly half of the sum: within 1 deg
    the sum is a quarter lower.
    """
    down = thrusters(22_500, 24_800, 33_500, 1.68)
    up = thrusters(3_400, 2_800, 5_900, 1.68)
    before = turned(down, 2.0, 8) + settled(2 * 7.5) + pushed(down, 3.3) + held(down, 2.0)
    after = turned(up, 2.0, 16) + pushed(up, 49.5 + 8.0 + 24.8 + 31.0 + 4.0) + held(up, 3.5)
    assert before + after == pytest.approx(252.7, rel=0.20)


# Phase: what Table 5-1 has [lb].
SHIP_BUDGET = {"translunar": 204.0, "lunar orbit": 311.0, "transearth": 75.0}


def ship_as_worked_out() -> dict[str, float]:
    """Return the ship's phases [lb] from inputs that are from memory, ground rules apart."""
    alone = thrusters(34_000, 78_000, 63_500, 2.13)
    docked = thrusters(57_000, 533_000, 96_500, 2.13)
    lunar = thrusters(43_500, 409_000, 70_500, 2.13)
    ship = thrusters(20_500, 60_000, 37_000, 2.13)
    home = thrusters(15_500, 48_500, 26_800, 2.13)
    transposition = turned(alone, 2.0, 1) + pushed(alone, 2.6) + held(alone, 1)
    # Ten sightings of stars (read), two corrections, two insertions, six rotations, two more.
    out = turned(docked, 0.2, 22) + pushed(docked, 1.0) + settled(17) + held(docked, 6)
    there = turned(lunar, 0.2, 10) + held(lunar, 4) + turned(ship, 0.5, 36) + held(ship, 10)
    moved = pushed(ship, 2.5 + 3.3 + 2.2) + settled(18)
    back = turned(home, 0.5, 12) + pushed(home, 5.0) + settled(16) + held(home, 4)  # 5 ft/s: read
    return {"translunar": transposition + out, "lunar orbit": there + moved, "transearth": back}


def test_a_published_ships_budget_is_not_reached():
    """590 lb: ship of Apollo 11 (Flight Plan, table 5-1; read). What is worked out is 60 % of it.

    Low in every phase, most in lunar orbit: the tracking of the lander and of landmarks by hand
    and in pulses, which no formula here has. The reserve kept by default, as much again, is more
    than what lacks; this test says so, phase by phase, and that no phase comes out too high.
    """
    found = ship_as_worked_out()
    assert sum(SHIP_BUDGET.values()) == 590.0
    for phase, budgeted in SHIP_BUDGET.items():
        assert found[phase] < budgeted < (1.0 + ThrusterBudget().reserve) * found[phase]
    assert sum(found.values()) / 590.0 == pytest.approx(0.60, abs=0.05)
