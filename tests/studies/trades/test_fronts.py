"""Which cases none beats, held against asking every pair."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.comparing.figures import Figure
from mplan.studies.trades import CaseRow, front
from mplan.studies.trades.flying import CaseOutcome
from mplan.studies.trades.study import Objective

BOTH = (Objective("mass", "least"), Objective("margin", "most"))


def row(number, mass, margin, closes=True):
    told = {"mass": Figure("mass", "t", 1, mass), "margin": Figure("margin", "m/s", 1, margin)}
    return CaseRow(number, (), CaseOutcome(closes, 0, "", told))


def by_pairs(points):
    """The definition, pair by pair: nobody as good in both and better in one."""
    return {
        i
        for i, (mass, margin) in enumerate(points)
        if not any(a <= mass and b >= margin and (a, b) != (mass, margin) for a, b in points)
    }


@pytest.mark.parametrize("seed", range(8))
def test_the_front_is_what_no_pair_beats(seed):
    """Whole numbers from few, so that there are ties."""
    points = np.random.default_rng(seed).integers(0, 9, (60, 2)).tolist()
    rows = [row(i, *each) for i, each in enumerate(points)]
    assert front(rows, BOTH) == by_pairs(points)


def test_one_objective_has_its_best():
    rows = [row(1, 5.0, 1.0), row(2, 4.0, 0.0), row(3, 4.0, 9.0)]
    assert front(rows, BOTH[:1]) == {2, 3}


def test_what_does_not_close_beats_nobody():
    rows = [row(1, 1.0, 99.0, closes=False), row(2, 5.0, 1.0), row(3, 2.0, 99.0, closes=None)]
    assert front(rows, BOTH) == {2}


def test_no_objectives_no_front():
    assert front([row(1, 1.0, 1.0)], ()) == set()


def test_a_case_without_the_figure_is_not_on_it():
    without = CaseRow(2, (), CaseOutcome(True, 0, "", {}))
    assert front([row(1, 5.0, 1.0), without], BOTH) == {1}
