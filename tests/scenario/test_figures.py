"""Two numbers that differ are written so that the difference is seen."""

from __future__ import annotations

from math import inf, nextafter

import pytest

from mplan.scenario.figures import amount, apart, at_least, at_most, counted


def test_as_many_digits_as_asked_where_they_differ():
    """The usual digits stay where they are enough."""
    assert at_most(12.0, 12.4, "m/s")[:2] == ("12.0 m/s at most", "12.4 m/s")
    assert at_least(90.0, 84.2, "s", 0)[:2] == ("90 s at least", "84 s")
    assert at_least(75.0, 50.0, "%", 0, of="of the way").limit == "75 % of the way at least"
    assert apart(2000.0, 12345.6, 1) == ("2,000.0", "12,345.6")


@pytest.mark.parametrize("limit", [0.02, 1.0, 12.0, 3.2e3, 1.5e6, -4.0])
@pytest.mark.parametrize("beyond", [1e-3, 1e-6, 1e-9, 0.0])
def test_a_hair_beyond_the_limit_shows(limit, beyond):
    """From a thousandth down to the next double, the two are never written alike, and in order."""
    found = limit * (1.0 + beyond) if beyond else nextafter(limit, inf)
    low, high = sorted((limit, found))
    written = apart(low, high)
    assert written[0] != written[1]
    assert float(written[0].replace(",", "")) < float(written[1].replace(",", ""))


def test_figures_are_numbers_too():
    """What is written stands beside it unrounded, with what is left up to the limit."""
    above, below, times = at_most(12.0, 12.44, "m/s"), at_least(90.0, 84.2, "s"), counted(3, 4, "x")
    assert above.measure[:3] == (12.0, 12.44, "m/s")
    assert above.measure.left == pytest.approx(-0.44)
    assert below.measure.left == pytest.approx(-5.8)
    assert (times.limit, times.found, times.measure.left) == ("3 x at most", "4", -1)


def test_equal_numbers_stay_short():
    """No search for a difference that does not exist."""
    assert apart(3.0, 3.0) == ("3.0", "3.0")


def test_an_amount_is_never_rounded_to_nothing():
    """What is lacking is never written as 0."""
    assert amount(0.0041, 0) == "0.004"
    assert amount(-0.3, 0) == "-0.3"
    assert amount(35.4, 0) == "35"
