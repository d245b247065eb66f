"""Intervals of counts and bounds by order statistics, against closed forms and published counts."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.studies.odds.chances import ENOUGH, Probability, lower_bound


def test_none_of_n():
    """Clopper and Pearson's ends for none of n have a closed form: 1 - 0.025^(1/n)."""
    low, high = Probability(0, 10).interval
    assert low == 0.0
    assert high == pytest.approx(1.0 - 0.025**0.1, rel=1e-9)
    assert Probability(10, 10).interval == (pytest.approx(0.025**0.1, rel=1e-9), 1.0)


def test_the_interval_covers():
    """At least 95 of 100 intervals hold the true share; over all outcomes of 40 missions."""
    from scipy.stats import binom

    for true in (0.5, 0.9, 0.98):
        ends = [Probability(k, 40).interval for k in range(41)]
        covered = [low <= true <= high for low, high in ends]
        assert binom.pmf(np.arange(41), 40, true)[covered].sum() >= 0.95


def test_nothing_flown_tells_nothing():
    assert Probability(0, 0).interval == (0.0, 1.0)


@pytest.mark.parametrize(("share", "fewest"), [(0.95, 59), (0.99, 299)])
def test_fewest_missions_of_a_bound(share, fewest):
    """Wilks 1941: 1 - share^n reaches 95 % with 59 and 299 (counts as they are quoted, memory)."""
    values = np.arange(fewest, dtype=float)
    assert lower_bound(values, share) == 0.0
    assert lower_bound(values[1:], share) is None
    assert ENOUGH == 299


def test_the_bound_holds_as_often_as_it_says():
    """Of many runs of 1,000 missions 95 % or more have their bound below the true quantile."""
    source, below = np.random.default_rng(0), []
    for _ in range(400):
        below.append(lower_bound(source.random(1_000), 0.99) <= 0.01)
    assert 0.95 - 3 * np.sqrt(0.95 * 0.05 / 400) <= np.mean(below)
    assert np.mean(below) < 1.0  # a bound that cannot fail would be no bound of 95 %
