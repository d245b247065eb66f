"""Linear tangents flown by compiled functions and by the source that they are compiled from."""

from __future__ import annotations

from random import Random

import pytest

from mplan.physics import compiling
from mplan.physics.burns.linear_tangent import (
    SteadyThrust,
    TangentSteering,
    fly_tangents,
    tangent_step,
)
from mplan.physics.constants import R_MOON


@pytest.mark.parametrize("seed", range(8))
def test_burns_of_all_sorts(seed):
    """Braking and climbing, with and without thrust, axes that turn: the same to the last digit."""
    draw = Random(seed)
    sense = draw.choice((1.0, -1.0))
    law = TangentSteering(sense, *(draw.uniform(-x, x) for x in (0.8, 1e-3, 0.3, 1e-3)))
    push = SteadyThrust(draw.choice((0.0, 16e3, 45e3)), draw.uniform(300.0, 450.0), 16e3)
    height = draw.uniform(0.0, 100e3)
    state = (1e3, -5e3, R_MOON + height, draw.uniform(0.0, 1700.0), 3.0, -5.0)
    spin = draw.choice(((0.0, 0.0, 0.0), (1e-6, 2.4e-6, -1e-6)))

    def flown():
        one = tangent_step(state, 0.0, 5.0, law, push, spin)
        return one, fly_tangents(state, 300.0, law, push, spin, steps=20)

    assert compiling.load()
    refused, quick = compiling.refused(), flown()
    compiling.forget()
    assert compiling.refused() == refused
    assert quick == flown()
