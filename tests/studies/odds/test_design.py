"""What is drawn has the distributions that are stated, one value from each part of them."""

from __future__ import annotations

import numpy as np
from scipy import stats

from mplan.scenario.dispersions.spread import CUT, Spread
from mplan.studies.odds.design import design

NORMAL = Spread(-CUT * 0.01, CUT * 0.01, 0.01, True)
EVEN = Spread(-2.0, 3.0, None, False)
MISSIONS = 2_000


def test_marginal_distributions():
    """Against SciPy's own, by Kolmogorov and Smirnov: a hypercube lies closer than chance does.

    Every value lies within one part of its place, so that the distance is below one in so many.
    """
    normal, even = design([NORMAL, EVEN], MISSIONS, 3).T
    cut = stats.truncnorm(-CUT, CUT, scale=0.01)
    assert stats.kstest(normal, cut.cdf).statistic <= 1.0 / MISSIONS
    assert stats.kstest(even, stats.uniform(-2.0, 5.0).cdf).statistic <= 1.0 / MISSIONS
    assert np.abs(normal).max() < CUT * 0.01


def test_one_value_from_each_part():
    """The property that names a Latin hypercube (McKay, Beckman & Conover 1979)."""
    drawn = design([EVEN, EVEN], 50, 1)
    parts = np.sort(np.floor((drawn + 2.0) / 5.0 * 50.0), axis=0)
    assert (parts == np.arange(50)[:, None]).all()


def test_the_same_seed_draws_the_same():
    assert (design([NORMAL, EVEN], 9, 4) == design([NORMAL, EVEN], 9, 4)).all()
    assert (design([NORMAL, EVEN], 9, 4) != design([NORMAL, EVEN], 9, 5)).all()


def test_numbers_are_drawn_independently():
    """The correlation of 2,000 independent pairs lies within four of its standard deviations."""
    drawn = design([NORMAL] * 5, MISSIONS, 2)
    between = np.corrcoef(drawn.T) - np.eye(5)
    assert np.abs(between).max() < 4.0 / np.sqrt(MISSIONS)
