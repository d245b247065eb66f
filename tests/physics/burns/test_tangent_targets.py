"""Burns along linear tangents solved for as floats: against the general method, and compiled."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from mplan.physics import compiling
from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import LocalState, SteadyThrust, TangentSteering
from mplan.physics.burns.tangent_targets import TangentBurn, TangentScale, aim_tangents, sought
from mplan.physics.constants import R_MOON
from mplan.physics.targeting import NoArc, Scaling, solve

SCALE = TangentScale(
    step=(1.0, 1e-3, 1e-6, 1e-3, 1e-6, 0.5),
    limit=(60.0, 0.3, 1e-3, 0.3, 1e-3, 60.0),
    tolerance=(1.0, 0.02, 0.02, 1.0, 0.02, 1.0),
)
GATE = LocalState(R_MOON + 2300.0, -44.0, 154.0, 0.0, 0.0, 0.0)


def braking(seed):
    """A braking burn from low perilune, off its plane, and about what it takes."""
    draw = Random(seed)
    start = (0.0, draw.uniform(-3e3, 3e3), R_MOON + 15e3, 1695.0, draw.uniform(-5.0, 5.0), 0.0)
    push = SteadyThrust(draw.uniform(38e3, 45e3), 311.0, draw.uniform(14.5e3, 16e3))
    trim = SteadyThrust(5e3, 311.0, push.mass + 50.0)
    begin = lt.local_state(start)
    guess = lt.guess_tangents(begin, GATE, push)
    ahead = begin.speed * guess.duration * 0.55 / R_MOON
    wanted = GATE._replace(angle=ahead + draw.uniform(-0.005, 0.005))
    spin = (1e-8, -2.65e-6, 1e-7)
    return TangentBurn(start, -1.0, trim, draw.choice((0.0, 26.0)), push, spin, 20, wanted), guess


def miss(burn, x):
    """Where a burn ends off its targets, each stretch flown by itself."""
    state = lt.free_fall(burn.start, float(x[5]), burn.spin) if len(x) > 5 else burn.start
    level = TangentSteering(burn.sense)
    state = lt.fly_tangents(state, burn.trimmed, level, burn.trim, burn.spin, steps=2)
    law = TangentSteering(burn.sense, *map(float, x[1:5]))
    end = lt.local_state(lt.fly_tangents(state, float(x[0]), law, burn.push, burn.spin, steps=20))
    wanted = burn.wanted
    off = [*(np.array(end) - np.array(wanted))[[0, 1, 2, 4, 5]]]
    return np.array([*off, (end.angle - wanted.angle) * wanted.radius])[: len(x)]


@pytest.mark.parametrize("count", [3, 5, 6])
@pytest.mark.parametrize("seed", range(4))
def test_the_general_method_finds_the_same(seed, count):
    """The same steps in the same order: apart by rounding alone, and within the tolerances."""
    burn, guess = braking(seed)
    scaling = Scaling(*(np.array(x[:count]) for x in SCALE))
    general = solve(lambda x: miss(burn, x), np.array(sought(*guess)[:count]), scaling)
    found = aim_tangents(burn, sought(*guess), count, SCALE)
    np.testing.assert_allclose(found[:count], general, rtol=1e-9, atol=1e-12)
    assert np.all(np.abs(miss(burn, np.array(found[:count]))) <= scaling.tolerance)
    assert not any(found[count:])


@pytest.mark.parametrize("seed", range(4))
def test_compiled_as_written(seed):
    """Equal digits."""
    burn, guess = braking(seed)
    assert compiling.load()
    refused, quick = compiling.refused(), aim_tangents(burn, sought(*guess), 6, SCALE)
    with compiling.as_written():
        slow = aim_tangents(burn, sought(*guess), 6, SCALE)
    compiling.forget()
    assert compiling.refused() == refused
    assert quick == slow
    assert {type(x) for x in (*quick, *slow)} == {float}


def test_what_cannot_be_met_is_said():
    """No place ahead for an orbit's height; no time below zero; no burn longer than the craft."""
    burn, guess = braking(0)
    high = burn._replace(wanted=GATE._replace(radius=R_MOON + 9e6))
    with pytest.raises(ArithmeticError, match=r"use up the craft|none was found"):
        aim_tangents(high, sought(*guess), 3, SCALE)
    with pytest.raises(NoArc, match="none was found that meets its targets"):
        aim_tangents(burn, sought(*guess), 6, SCALE, corrections=1)
    with pytest.raises(ArithmeticError, match="no time is left for the burn"):
        aim_tangents(burn, sought(-1.0, 0.0, 0.0), 3, SCALE, forwards=True)
    with pytest.raises(ArithmeticError, match="would use up the craft itself"):
        aim_tangents(burn, sought(5000.0, 0.0, 0.0), 3, SCALE)
