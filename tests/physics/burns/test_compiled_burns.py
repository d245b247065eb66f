"""Burns flown out by compiled functions and by the source that they are compiled from."""

from __future__ import annotations

from math import sqrt
from random import Random

import numpy as np
import pytest

from mplan.physics import compiling
from mplan.physics import constants as c
from mplan.physics.burns.aimed_burn import fly_aimed, velocity_along_asymptote, velocity_in_plane
from mplan.physics.burns.finite_burn import fly_finite


def both(flown):
    """What a function says compiled, and as written."""
    assert compiling.load()
    refused, quick = compiling.refused(), flown()
    fly_finite.cache_clear()
    with compiling.as_written():
        slow = flown()
    fly_finite.cache_clear()
    compiling.forget()
    assert compiling.refused() == refused
    return quick, slow


def craft(draw):
    """Any thrust [N], specific impulse [s] and mass [kg]: some too weak, some that burn out."""
    return {
        "thrust": draw.choice((2e3, 25e3, 100e3, 1e6)),
        "isp": draw.choice((40.0, 310.0, 450.0)),
        "mass": draw.uniform(8e3, 120e3),
    }


def told(flown):
    """What a burn comes to, or why there is none."""
    try:
        return flown()
    except ArithmeticError as problem:
        return str(problem)


@pytest.mark.parametrize("seed", range(12))
def test_burns_in_their_plane(seed):
    """Leaving and arriving: the same to the last digit."""
    draw = Random(seed)
    radius, arriving = c.R_MOON + draw.uniform(50e3, 500e3), draw.random() < 0.5
    slow, how = sqrt(c.MU_MOON / radius), craft(draw)
    one, other = both(
        lambda: told(lambda: fly_finite(radius, slow, 900.0, c.MU_MOON, **how, arriving=arriving))
    )
    assert one == other


@pytest.mark.parametrize("seed", range(12))
def test_burns_out_of_their_plane(seed):
    """Into another plane, and out along an asymptote: the same to the last digit."""
    draw = Random(seed)
    radius = c.R_MOON + draw.uniform(50e3, 500e3)
    pace = sqrt(c.MU_MOON / radius)
    r, v, how = np.array([radius, 0.0, 0.0]), np.array([0.0, pace, 0.0]), craft(draw)
    if draw.random() < 0.5:
        tilt = draw.uniform(-0.2, 0.2)
        normal = np.array([0.0, -np.sin(tilt), np.cos(tilt)])
        wanted = velocity_in_plane(normal, -draw.uniform(0.2, 0.9) * pace**2 / 2.0, c.MU_MOON)
    else:
        s = np.array([draw.uniform(-0.9, -0.1), 1.0, draw.uniform(-0.2, 0.2)])
        wanted = velocity_along_asymptote(s / np.linalg.norm(s), 900.0, c.MU_MOON)
    one, other = both(lambda: told(lambda: fly_aimed(r, v, wanted, c.MU_MOON, **how)))
    assert one == other


def test_some_of_them_are_flown():
    """The draws are worth something: burns, thrusts too low, and craft used up."""
    said = []
    for seed in range(12):
        draw = Random(seed)
        how, start = craft(draw), (c.R_MOON + 1e5, 1633.0, 900.0, c.MU_MOON)
        said.append(told(lambda start=start, how=how: fly_finite(*start, **how)))
    assert sum(not isinstance(x, str) for x in said) >= 4
    assert any("too low" in x for x in said if isinstance(x, str))
