"""Impulses that turn a craft and hold its attitude: what each formula must do."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from mplan.physics.attitude import thruster_impulse
from mplan.physics.constants import MU_MOON


def test_a_turn_gives_its_rate_and_takes_it_away():
    """1000 kg m2 at 0.01 rad/s, thrusters at 2 m: 5 N s to begin, 5 N s to end."""
    assert thruster_impulse.of_turn(1000.0, 0.01, 2.0) == pytest.approx(10.0)


def test_a_wider_deadband_takes_less_in_proportion():
    """And a pulse twice as large takes four times as much."""
    narrow = thruster_impulse.of_limit_cycle(1000.0, 1.0, 2.0, 0.01, 3600.0)
    wide = thruster_impulse.of_limit_cycle(1000.0, 1.0, 2.0, 0.10, 3600.0)
    strong = thruster_impulse.of_limit_cycle(1000.0, 2.0, 2.0, 0.01, 3600.0)
    assert wide == pytest.approx(narrow / 10.0)
    assert strong == pytest.approx(4.0 * narrow)


def test_the_mean_gravity_gradient_of_a_revolution():
    """Integrated: a rod held still while two point masses' difference of pull goes round it."""
    mass, half, radius = 10.0, 0.5, 1.85e6  # two masses at the ends of a rod along x
    sizes = []
    for angle in np.linspace(0.0, 2.0 * pi, 1000, endpoint=False):
        centre = radius * np.array([np.cos(angle), np.sin(angle)])
        torque = 0.0
        for end in (half, -half):
            place = centre + np.array([end, 0.0])
            pull = -MU_MOON * mass * place / np.linalg.norm(place) ** 3
            torque += end * pull[1]
        sizes.append(abs(torque))
    found = thruster_impulse.gravity_gradient(MU_MOON, radius, 2.0 * mass * half**2)
    assert found == pytest.approx(np.mean(sizes), rel=1e-3)


def test_a_steady_torque_takes_the_same_in_any_deadband():
    """2 N m for 100 s at 4 m: 50 N s; its sense does not matter."""
    assert thruster_impulse.against_torque(-2.0, 100.0, 4.0) == pytest.approx(50.0)
