"""What drives a figure, against functions whose coefficients are known."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from mplan.scenario.dispersions.spread import CUT, Spread
from mplan.studies.odds import drivers
from mplan.studies.odds.design import design

MISSIONS = 4_000


def test_a_linear_figure_is_told_whole():
    """Of a sum of independent terms each has the share of its variance (closed form)."""
    sizes = np.array([3.0, -2.0, 1.0, 0.0])
    drawn = design([Spread(-CUT, CUT, 1.0, False)] * 4, MISSIONS, 1)
    (found,) = drivers.of(drawn, ["a", "b", "c", "d"], {"y": drawn @ sizes})
    assert [x.title for x in found.drivers] == ["a", "b", "c", "d"]
    expected = np.sign(sizes) * np.sqrt(sizes**2 / (sizes**2).sum())
    # Columns of so many independent draws are correlated by their root: that moves coefficients.
    assert [x.coefficient for x in found.drivers] == pytest.approx(expected, abs=0.03)
    assert found.fit == pytest.approx(1.0, abs=1e-9)
    assert found.linear


def test_a_figure_that_is_not_linear_says_so():
    """Ishigami and Homma's function (1990), a = 7, b = 0.1, whose variance is published.

    A straight line in the first term explains (1 + b pi^4 / 5)^2 / (pi^2 / 3) of it: 19 %.
    """
    drawn = design([Spread(-pi, pi, None, False)] * 3, MISSIONS, 1)
    x1, x2, x3 = drawn.T
    y = np.sin(x1) + 7.0 * np.sin(x2) ** 2 + 0.1 * x3**4 * np.sin(x1)
    variance = 7.0**2 / 8.0 + 0.1 * pi**4 / 5.0 + 0.1**2 * pi**8 / 18.0 + 0.5
    expected = (1.0 + 0.1 * pi**4 / 5.0) ** 2 / (pi**2 / 3.0) / variance
    (found,) = drivers.of(drawn, ["x1", "x2", "x3"], {"y": y})
    assert found.drivers[0].title == "x1"
    assert found.fit == pytest.approx(expected, abs=0.03)  # 2 standard deviations of an R2 there
    assert not found.linear


def test_nothing_is_told_of_too_few_or_of_what_stays():
    drawn = design([Spread(-CUT, CUT, 1.0, False)] * 4, 9, 1)
    assert not list(drivers.of(drawn, list("abcd"), {"y": drawn[:, 0]}))
    many = design([Spread(-CUT, CUT, 1.0, False)] * 4, 50, 1)
    assert not list(drivers.of(many, list("abcd"), {"y": np.full(50, 3.0)}))


def test_missions_without_the_figure_are_left_out():
    drawn = design([Spread(-CUT, CUT, 1.0, False)] * 2, 100, 1)
    y = 2.0 * drawn[:, 0]
    y[:40] = np.nan
    (found,) = drivers.of(drawn, ["a", "b"], {"y": y})
    assert found.drivers[0].coefficient == pytest.approx(1.0)
