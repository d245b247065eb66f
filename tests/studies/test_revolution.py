"""Contact and light in one revolution of the lunar orbit."""

from __future__ import annotations

from math import asin, pi

import numpy as np
import pytest

import mplan
from mplan.physics import constants as c
from mplan.studies import revolution


def test_behind_the_moon_as_long_as_geometry_says(landing_plan):
    """In an orbit whose plane holds Earth: 2 asin(R / r) of a turn, over 2 pi.

    Earth lies some degrees off the plane here, which shortens it: within 2 % for under 10 deg.
    """
    one = revolution.through_stay(landing_plan, 1)[0]
    radius = c.R_MOON + landing_plan.scenario.orbits.lunar_altitude
    share = 2.0 * asin(c.R_MOON / radius) / (2.0 * pi)
    assert abs(one.earth_angle) < 10 * c.DEG
    assert one.out_of_contact / one.period == pytest.approx(share, rel=0.02)


def test_the_period_is_keplers(landing_plan):
    """A 110 km orbit goes round in just under two hours; the figure lets it breathe, 2 s."""
    one = revolution.through_stay(landing_plan, 1)[0]
    radius = c.R_MOON + 110e3
    assert one.period == pytest.approx(2 * pi * np.sqrt(radius**3 / c.MU_MOON), rel=5e-4)


def test_the_sun_moves_through_the_stay(landing_plan):
    """The stay spans insertion to return, and the shadow is shorter than the half revolution."""
    found = revolution.through_stay(landing_plan, 4)
    end = landing_plan.flight.end
    assert found[0].t == pytest.approx(end.outbound.perilune.t)
    assert found[-1].t == pytest.approx(end.homeward.t)
    assert all(0.0 < x.in_shadow < x.period / 2.0 for x in found)


def test_a_flyby_has_no_revolutions(landing_plan):
    """Nothing goes round the Moon on a free return."""
    flyby = mplan.load(landing_plan.scenario.source.parent / "round_the_moon.toml")
    assert revolution.through_stay(mplan.fly(flyby)) == ()
