"""Blast and fireball: scaling, edges, and the two regimes of each rule."""

from __future__ import annotations

from itertools import pairwise

import pytest

from mplan.physics.climb import blast


def test_cube_root_scaling():
    """Eight times the charge makes the same pressure at twice the distance, twice as late."""
    near, far = blast.overpressure(100.0, 1e3), blast.overpressure(200.0, 8e3)
    assert far == pytest.approx(near, rel=1e-12)
    early, late = blast.arrival(100.0, 1e3), blast.arrival(200.0, 8e3)
    assert late == pytest.approx(2.0 * early, rel=1e-12)


def test_thin_air():
    """At half the pressure a blast is half as strong where scaled distances agree (Sachs)."""
    thick = blast.overpressure(100.0, 1e3)
    thin = blast.overpressure(100.0 * 2.0 ** (1.0 / 3.0), 1e3, blast.SEA_LEVEL / 2.0)
    assert thin == pytest.approx(thick / 2.0, rel=1e-12)


def test_it_falls_off_without_a_jump():
    """Farther is weaker and later, across the joints of the fits (0.3 % at most between them)."""
    for fitted, rising in ((blast.overpressure, False), (blast.arrival, True)):
        values = [fitted(0.25 * 1.02**i, 1.0) for i in range(250)]
        steps = [after / before for before, after in pairwise(values)]
        assert all((step > 1.0) == rising for step in steps)
        assert all(0.9 < step < 1.1 for step in steps)


def test_edges():
    """No charge, no blast; very far none either; and the shock goes on at the speed of sound."""
    assert blast.overpressure(10.0, 0.0) == 0.0
    assert blast.overpressure(1e4, 1.0) == 0.0
    assert blast.overpressure(0.0, 1.0) == blast.overpressure(0.2, 1.0)
    late = blast.arrival(500.0, 1.0) - blast.arrival(400.0, 1.0)
    assert late == pytest.approx(100.0 / blast.SOUND, rel=1e-12)


def test_equivalents():
    """Each pair by its own rule, on both sides of where the rules change."""
    pound = blast.POUND
    assert blast.tnt_equivalent(0.0, 4e5 * pound, 0.0) == pytest.approx(0.8e5 * pound)
    assert blast.tnt_equivalent(0.0, 9e5 * pound, 0.0) == pytest.approx(1.4e5 * pound)
    assert blast.tnt_equivalent(1e6 * pound, 0.0, 0.0) == pytest.approx(1.4e5 * pound)
    assert blast.tnt_equivalent(1e3 * pound, 0.0, 0.0) == pytest.approx(800.0 * pound)
    assert blast.tnt_equivalent(0.0, 0.0, 50.0) == pytest.approx(5.0)
    assert blast.tnt_equivalent(0.0, 0.0, 0.0, 80.0) == pytest.approx(20.0)
    assert blast.tnt_equivalent(0.0, 0.0, 0.0) == 0.0
