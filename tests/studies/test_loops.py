"""Free returns as a family, and the loop of arcs past one perilune."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.studies import loops


@pytest.fixture(scope="module")
def family(landing_plan):
    return loops.free_returns(landing_plan, [110e3, 600e3, 1500e3])


def test_each_comes_back_into_the_air(family):
    """A free return's perigee lies some 40 km up: that is what -6.4 deg at 121.92 km means.

    From r cos(angle) with the speed of an almost parabolic return: h2 = r2 v2 cos2, p / 2 = 37 km.
    """
    assert len(family) == 3
    assert all(x.prograde and 20e3 < x.return_perigee < 60e3 for x in family)


def test_a_higher_passage_takes_longer(family):
    """The further out the Moon is rounded, the slower the way there and the cheaper."""
    assert np.all(np.diff([x.translunar_time for x in family]) > 0.0)
    assert np.all(np.diff([x.injection for x in family]) < 0.0)


def test_the_perilune_is_the_one_asked_for(family):
    """Each member passes the Moon at its altitude."""
    assert [x.perilune for x in family] == pytest.approx([110e3, 600e3, 1500e3], abs=10.0)


def test_the_loop_crosses_the_air_where_the_free_return_is(landing_plan, family):
    """Past 110 km, arcs quicker than the free return hit Earth, slower ones pass above."""
    free = family[0].translunar_time
    quick, slow = loops.loop(landing_plan, 110e3, [free - 0.5 * c.HOUR, free + 0.5 * c.HOUR])
    assert quick.return_perigee < family[0].return_perigee < slow.return_perigee


def test_a_perilune_without_a_free_return_is_left_out(landing_plan):
    """A passage a hundred thousand kilometres out leads nowhere near home."""
    assert loops.free_returns(landing_plan, [150_000e3]) == ()
