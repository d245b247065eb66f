"""Two numbers that differ are written so that the difference is seen."""

from __future__ import annotations

from math import inf, nextafter

import pytest

from mplan.scenario.figures import amount, apart, at_least, at_most


def test_as_many_digits_as_asked_where_they_differ():
    """The usual digits stay where they are enough."""
    assert at_most(12.0, 12.4, "m/s") == ("12.0 m/s at most", "12.4 m/s")
    assert at_least(90.0, 84.2, "s", 0) == ("90 s at least", "84 s")
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


def test_equal_numbers_stay_short():
    """No search for a difference that does not exist."""
    assert apart(3.0, 3.0) == ("3.0", "3.0")


def test_an_amount_is_never_rounded_to_nothing():
    """What is lacking is never written as 0."""
    assert amount(0.0041, 0) == "0.004"
    assert amount(-0.3, 0) == "-0.3"
    assert amount(35.4, 0) == "35"
