"""Descents and ascents flown by compiled functions and by the source of these."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from mplan.physics import compiling
from mplan.physics.burns.linear_tangent import SteadyThrust
from mplan.physics.constants import MU_MOON, R_MOON
from mplan.physics.landing import ascent, descent
from mplan.physics.twobody import speed

GROUND, LOW = R_MOON - 900.0, R_MOON + 15e3
ARRAYS = ("t", "place", "velocity", "mass", "pointing", "throttle")


def both(flown):
    """What a function says compiled, and as written."""
    assert compiling.load()
    refused, quick = compiling.refused(), flown()
    with compiling.as_written():
        slow = flown()
    compiling.forget()
    assert compiling.refused() == refused
    return quick, slow


def same(one, other):
    """Tracks are equal to the last digit, and so is the velocity spent."""
    assert one.delta_v == other.delta_v
    for name in ARRAYS:
        np.testing.assert_array_equal(getattr(one.track, name), getattr(other.track, name))


@pytest.mark.parametrize("seed", range(6))
def test_descents_of_all_sorts(seed):
    """Engines that throttle down far and little, hovers and none, gates high and low."""
    draw = Random(seed)
    lander = descent.Lander(
        draw.uniform(15e3, 17e3), 45e3, draw.choice((5.4e3, 12e3)), 312.0, 8400.0
    )
    way = descent.DescentProfile(
        draw.choice((0.0, 26.0)),
        0.925,
        draw.uniform(2000.0, 2600.0),
        154.0,
        44.0,
        155.0,
        17.0,
        5.0,
        20.0,
        draw.choice((0.0, 30.0)),
        draw.choice((0.0, 100.0)),
        0.9,
    )
    level, spin = (0.0, 0.0, LOW, 1697.0, 0.0, 0.0), (1e-8, -2.65e-6, 1e-7)

    def flown():
        angle = descent.braking_angle.__wrapped__(level, lander, way, GROUND, spin)
        begin = (-LOW * np.sin(angle), 0.0, LOW * np.cos(angle))
        pace = (1697.0 * np.cos(angle), 0.0, 1697.0 * np.sin(angle))
        start = tuple(map(float, (*begin, *pace)))
        return descent.fly_descent.__wrapped__(start, lander, way, GROUND, spin)

    one, other = both(flown)
    same(one, other)
    assert one.phases == other.phases
    assert (one.at_limit, one.lowest, one.miss) == (other.at_limit, other.lowest, other.miss)


@pytest.mark.parametrize("seed", range(4))
def test_ascents_of_all_sorts(seed):
    """Sites on and off the plane, rises long and short."""
    draw = Random(seed)
    push = SteadyThrust(draw.uniform(14e3, 20e3), 311.0, 5420.0)
    off, low = draw.uniform(-0.02, 0.02), R_MOON + 17e3
    aimed = ascent.InsertionTarget(low, speed(low, R_MOON + 51e3, MU_MOON))
    start = (0.0, float(GROUND * np.sin(off)), float(GROUND * np.cos(off)), -4.6, 0.0, 0.0)
    rise = draw.uniform(5.0, 15.0)
    one, other = both(lambda: ascent.fly_ascent.__wrapped__(start, push, rise, aimed))
    same(one, other)
    assert one.end == other.end
