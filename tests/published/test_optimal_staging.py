"""The search for the least against optimal staging of the textbooks, on the rocket equation alone.

H. D. Curtis, Orbital Mechanics for Engineering Students, ch. 11, optimal staging by a Lagrange
multiplier: three stages of specific impulses 400, 350 and 300 s and structural ratios 0.10, 0.15
and 0.20 take 5,000 kg to 10 km/s with 191,200 kg at lift-off; step masses 165,700, 18,070 and
2,477 kg (figures from memory; the closed form below gives them again).
"""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from scipy.optimize import brentq

from mplan.studies.sizing import holding
from mplan.studies.sizing.linear_steps import LinearSteps
from mplan.studies.sizing.points import Answer

GRAVITY = 9.81  # m/s2, as the example takes it
EXHAUST = [GRAVITY * isp for isp in (400.0, 350.0, 300.0)]  # m/s
STRUCTURE = (0.10, 0.15, 0.20)  # of each step
PAYLOAD, SPEED = 5000.0, 10_000.0  # kg, m/s
PUBLISHED = (165_700.0, 18_070.0, 2_477.0)  # kg, steps from the pad up
LIFT_OFF = 191_200.0
# Freed ranges [kg]; from 5 to 50 times as wide as what is told apart below.
LOW, HIGH = np.array([100e3, 10e3, 1.5e3]), np.array([250e3, 30e3, 4e3])


def velocity(steps, exhaust=EXHAUST, structure=STRUCTURE) -> float:
    """What steps from the pad up give the payload [m/s], by Tsiolkovsky's equation."""
    total, given = PAYLOAD, 0.0
    for step, c, share in reversed(list(zip(steps, exhaust, structure, strict=True))):
        given += c * log((total + step) / (total + share * step))
        total += step
    return given


def closed_form() -> list[float]:
    """The steps of least sum: mass ratios (1 + c eta) / (eta eps c) of one multiplier eta."""

    def ratios(eta):
        c_eps = list(zip(EXHAUST, STRUCTURE, strict=True))
        return [(c * eta - 1.0) / (c * eps * eta) for c, eps in c_eps]

    def missing(eta):
        return sum(c * log(n) for c, n in zip(EXHAUST, ratios(eta), strict=True)) - SPEED

    least = min(c * (1.0 - eps) for c, eps in zip(EXHAUST, STRUCTURE, strict=True))
    eta = brentq(missing, 1.001 / least, 1.0)
    steps, total = [], PAYLOAD
    for n, share in reversed(list(zip(ratios(eta), STRUCTURE, strict=True))):
        step = (n - 1.0) * total / (1.0 - n * share)
        steps.insert(0, step)
        total += step
    return steps


class Asked:
    """Points of a staging problem: masses of steps within ranges, counted."""

    def __init__(self, exhaust=EXHAUST, structure=STRUCTURE, speed=SPEED, low=LOW, high=HIGH):
        self.exhaust, self.structure, self.speed = exhaust, structure, speed
        self.low, self.high, self.count = low, high, 0

    def steps(self, x):
        return self.low + x * (self.high - self.low)

    def __call__(self, x, like=None):
        self.count += 1
        steps = self.steps(x)
        room = (velocity(steps, self.exhaust, self.structure) - self.speed) / 100.0
        return Answer(x, PAYLOAD + float(np.sum(steps)), {"velocity": room}, room >= 0.0)


def test_the_closed_form_gives_the_published_masses():
    """The figures from memory are those of the method, to the four digits printed."""
    assert closed_form() == pytest.approx(PUBLISHED, rel=5e-4)
    assert PAYLOAD + sum(closed_form()) == pytest.approx(LIFT_OFF, rel=5e-4)


@pytest.mark.parametrize("start", [0.9, 0.5, 0.1])
def test_the_search_finds_the_optimum(start):
    """From heavier, like and lighter starts, of which the last does not reach the speed.

    The sum to a hundred-thousandth; steps to 1 %, for the sum is flat there: 1 % of the least
    one, paid back by the others, changes it by less than a kilogram.
    """
    asked = Asked()
    found = LinearSteps(asked, asked, 1e-7).least(np.full(3, start))
    assert found.good
    assert found.value == pytest.approx(PAYLOAD + sum(closed_form()), rel=1e-5)
    assert asked.steps(found.x) == pytest.approx(closed_form(), rel=0.01)
    assert asked.count < 150


def test_the_price_of_speed_is_the_multiplier():
    """What a metre per second is worth at the optimum is the slope of the least mass by speed.

    Within 2 %: prices rest on slopes over a thousandth of the ranges.
    """
    asked = Asked()
    search = LinearSteps(asked, asked, 1e-7)
    search.least(np.full(3, 0.6))
    price = holding.prices(search.local)["velocity"] / 100.0  # kg a m/s
    faster = Asked(speed=SPEED + 10.0)
    more = LinearSteps(faster, faster, 1e-7).least(np.full(3, 0.6))
    assert price == pytest.approx((more.value - search.best.value) / 10.0, rel=0.02)


def test_equal_stages_share_the_speed():
    """Stages of one exhaust velocity and structure give as much each at the optimum (Curtis)."""
    c, eps, speed = 3000.0, 0.1, 6000.0
    asked = Asked((c, c), (eps, eps), speed, np.array([5e3, 1e3]), np.array([80e3, 30e3]))
    found = LinearSteps(asked, asked, 1e-8).least(np.array([0.9, 0.9]))
    n = exp(speed / c / 2.0)
    ratio = (1.0 - eps) * n / (1.0 - n * eps)  # of what stands above with a step to without it
    assert found.value == pytest.approx(PAYLOAD * ratio**2, rel=1e-5)
    assert asked.steps(found.x)[1] == pytest.approx(PAYLOAD * (ratio - 1.0), rel=0.01)


def test_what_cannot_be_reached_is_left_nearest():
    """Ranges too small for the speed end at their upper ends, and it is said to be no answer."""
    asked = Asked(speed=13_000.0)
    found = LinearSteps(asked, asked, 1e-6).least(np.full(3, 0.5))
    assert not found.good
    assert found.x == pytest.approx(np.ones(3))
