"""The motion of the climb against closed forms of textbooks: upright flight and gravity turns.

Formulas from memory, each derived again by hand.
"""

from __future__ import annotations

from math import atan, atan2, cos, hypot, log, pi, sin, sqrt, tan

import pytest

from mplan.physics import constants as c
from mplan.physics.climb import motion
from mplan.physics.climb.guidance import gravity_turn
from mplan.physics.climb.launch_vehicle import NOMINAL, LaunchVehicle
from mplan.physics.climb.motion import EngineThrust, climb_step, surroundings
from mplan.physics.climb.steering import NOWHERE

G = 9.81
FLAT = 6.378e11  # m: the ground bends by nothing, and states still resolve a tenth of a millimetre
MASS, ISP = 68e3, 390.0
BARE = LaunchVehicle(MASS, (), 0.0)


@pytest.fixture
def airless(monkeypatch):
    monkeypatch.setattr(motion, "day_air", lambda height, day: (0.0, 0.0, 300.0))


@pytest.fixture
def flat(airless, monkeypatch):
    """The world of the closed forms: gravity the same everywhere, no turning, no bulge, no air."""
    monkeypatch.setattr(motion, "_J2", 0.0)
    monkeypatch.setattr(motion, "_SQUASH", 0.0)
    monkeypatch.setattr(c, "W_EARTH", 0.0)
    monkeypatch.setattr(c, "R_EARTH", FLAT)
    monkeypatch.setattr(c, "MU_EARTH", G * FLAT**2)


@pytest.fixture
def upright(monkeypatch):
    """Steering straight up, whatever the law."""

    def nose(t, s, u, size, height, law):
        x, y, z = s[:3]
        r = sqrt(x * x + y * y + z * z)
        return x / r, y / r, z / r

    monkeypatch.setattr(motion, "nose", nose)
    return NOWHERE


def flown(start, push, steer, duration, steps=2000):
    s, h = (*start, MASS, 0.0, 0.0, 0.0, 0.0, 0.0), duration / steps
    around = surroundings(BARE, NOMINAL)
    for i in range(steps):
        s = climb_step(i * h, s, h, push, steer, around)
    return s


def burn_out(weight, gravity, ratio):
    """Time, speed and height at burn-out of a constant flow, and the push that has it.

    Sutton & Biblarz, Rocket Propulsion Elements, ch. 4; Curtis, ch. 11: v = c ln n - g t and
    h = c t (1 - ln n / (n - 1)) - g t^2 / 2, from rest, n the ratio of masses.
    """
    jet, thrust = ISP * c.G0, weight * MASS * gravity
    push = EngineThrust(thrust, 0.0, thrust / jet)
    t = MASS * (1.0 - 1.0 / ratio) / push.flow
    height = jet * t * (1.0 - log(ratio) / (ratio - 1.0)) - gravity * t * t / 2.0
    return t, jet * log(ratio) - gravity * t, height, push


@pytest.mark.parametrize("ratio", [2.0, 7.0])
def test_upright_flight(flat, upright, ratio):
    """Burn-out speed and height, to what a flat world of this size resolves."""
    t, speed, height, push = burn_out(1.4, G, ratio)
    s = flown((FLAT, 0.0, 0.0, 0.0, 0.0, 0.0), push, upright, t)
    assert s[3] == pytest.approx(speed, abs=0.01)
    assert s[0] - FLAT == pytest.approx(height, abs=1.0)
    assert s[7:9] == pytest.approx((ISP * c.G0 * log(ratio), G * t), abs=0.01)


def test_upright_flight_from_the_real_equator(airless, upright):
    """On the turning, bulging Earth the same, with the gravity that scales feel at the ground.

    Gravity only falls on the way: by no more than 2 h / R of itself (J2 and the turning, parts
    in 300 of it, fall by no more than twice as fast: 1 % of that), which bounds the gain.
    """
    r, w = c.R_EARTH, c.W_EARTH
    felt = c.MU_EARTH / r**2 * (1.0 + 1.5 * c.J2_EARTH) - w * w * r
    t, speed, height, push = burn_out(1.4, felt, 2.0)
    s = flown((r, 0.0, 0.0, 0.0, w * r, 0.0), push, upright, t)
    out = hypot(s[0], s[1])
    gained = (s[0] * s[3] + s[1] * s[4]) / out - speed
    higher = out - r - height
    most = 2.0 * (out - r) / r * felt * 1.01
    assert 0.0 < gained < most * t
    assert 0.0 < higher < most * t * t / 2.0
    assert gained < 0.02 * speed


@pytest.mark.parametrize("weight", [1.3, 1.8, 3.0])
def test_gravity_turn_at_constant_thrust_to_weight(flat, weight):
    """Culler & Fried, J. Appl. Phys. 28 (1957) 672: v = C z^(n-1) (1 + z^2), z = tan(psi / 2).

    psi from the vertical, n thrust over weight. Time, height and range are its integrals with
    d psi / dt = g sin(psi) / v. Flown from 5 deg to where it comes to 75 deg off.
    """
    n, slow = weight, 20.0
    z, last = tan(2.5 * pi / 180.0), tan(37.5 * pi / 180.0)
    size = slow / (z ** (n - 1.0) * (1.0 + z * z))

    def since(power):
        return (last**power - z**power) / power

    t = size / G * (since(n - 1.0) + since(n + 1.0))
    up = size**2 / G * (since(2.0 * n - 2.0) - since(2.0 * n + 2.0))
    ahead = 2.0 * size**2 / G * (since(2.0 * n - 1.0) + since(2.0 * n + 1.0))
    psi = 2.0 * atan(z)
    start = (FLAT, 0.0, 0.0, slow * cos(psi), slow * sin(psi), 0.0)
    s = flown(start, EngineThrust(n * MASS * G, 0.0, 0.0), gravity_turn, t, steps=8000)
    speed = size * last ** (n - 1.0) * (1.0 + last**2)
    assert hypot(s[3], s[4]) == pytest.approx(speed, rel=1e-6)
    assert atan2(s[4], s[3]) == pytest.approx(2.0 * atan(last), rel=1e-6)
    assert s[0] - FLAT == pytest.approx(up, rel=2e-6, abs=0.1)  # steps round the radius to 0.1 mm
    assert s[1] == pytest.approx(ahead, rel=1e-6)
    lost = n * G * t - (speed - slow)  # to gravity: a small difference of large numbers
    assert s[8] == pytest.approx(lost, abs=1e-6 * n * G * t)
