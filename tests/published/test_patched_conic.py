"""A patched-conic flight to the Moon, textbook figures against the kit's conics.

Bate, Mueller & White 1971, section 7.4, worked example. Inputs from a brief of it, outputs
recomputed from them (the page itself was not opened; it has three digits).
"""

from __future__ import annotations

from math import acos, asin, cos, degrees, radians, sin, sqrt

import numpy as np
import pytest

from mplan.physics.twobody import conic, speed

DU, TU = 6378.145e3, 806.8118744  # m and s, the book's canonical units of Earth
MU = DU**3 / TU**2
DISTANCE, SPHERE, MOON_SPEED = 384_400e3, 66_300e3, 1018.0  # m, m, m/s
MU_MOON = MU / 81.3
START, FAST, ARRIVAL = 1.05 * DU, 1.372 * DU / TU, radians(30.0)  # perigee, speed, lambda 1


@pytest.fixture(scope="module")
def crossing() -> tuple[np.ndarray, np.ndarray]:
    """State from Earth where the path enters the Moon's sphere, the Moon standing on the x axis."""
    r1 = sqrt(DISTANCE**2 + SPHERE**2 - 2.0 * DISTANCE * SPHERE * cos(ARRIVAL))
    before = asin(SPHERE * sin(ARRIVAL) / r1)  # gamma 1: the ship crosses ahead of the Moon
    a = 1.0 / (2.0 / START - FAST**2 / MU)
    v1 = speed(r1, a, MU)
    steep = acos(START * FAST / (r1 * v1))  # phi 1, flight-path angle outbound
    up = np.array([cos(before), sin(before), 0.0])
    ahead = np.array([-sin(before), cos(before), 0.0])
    return r1 * up, v1 * (sin(steep) * up + cos(steep) * ahead)


def test_the_way_out(crossing):
    """Conic from Earth: a 44.69 DU, e 0.97650, anomaly 169.36 deg, 51.14 h; 0.5 % as published."""
    here = conic(*crossing, MU)
    assert here.a / DU == pytest.approx(44.69, rel=0.005)
    assert here.e == pytest.approx(0.97650, rel=0.0005)
    assert degrees(here.true_anomaly) == pytest.approx(169.36, abs=0.05)
    assert here.since_periapsis / 3600.0 == pytest.approx(51.14, rel=0.005)
    assert here.periapsis == pytest.approx(START, rel=1e-9)


def test_the_phase_at_departure(crossing):
    """The Moon leads by 135.64 deg when the ship leaves."""
    here = conic(*crossing, MU)
    before = np.arctan2(crossing[0][1], crossing[0][0])
    turned = here.since_periapsis * MOON_SPEED / DISTANCE
    lead = here.true_anomaly - before - turned
    assert degrees(lead) == pytest.approx(135.64, abs=0.3)


def test_the_passage_of_the_moon(crossing):
    """At the Moon: 1.1885 km/s, e 2.133, perilune 4394 km from its centre; 2 % as published."""
    r = crossing[0] - np.array([DISTANCE, 0.0, 0.0])
    v = crossing[1] - np.array([0.0, MOON_SPEED, 0.0])
    there = conic(r, v, MU_MOON)
    assert np.linalg.norm(r) == pytest.approx(SPHERE, rel=1e-9)
    assert np.linalg.norm(v) == pytest.approx(1188.5, rel=0.005)
    assert there.e == pytest.approx(2.133, rel=0.02)
    assert there.periapsis == pytest.approx(4394e3, rel=0.02)
