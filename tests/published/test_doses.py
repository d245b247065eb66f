"""Doses of two flights to the Moon, beside what the note makes of their days.

Schaefer, Benton, Henke, Sullivan, "Nuclear Track Recordings of the Astronauts' Radiation Exposure
on the First Lunar Landing Mission Apollo XI", Radiation Research 49, 245, 1972, abstract: "A
mission dose of 201 mrads corresponding to 402 mrems"; "Apollo XIV ... accumulated a total
mission-dose equivalent slightly above 1,000 mrems". Lengths of the flights are from memory.
"""

from __future__ import annotations

import pytest

from mplan.physics.constants import DAY
from mplan.physics.living import dose_rates


@pytest.mark.parametrize(
    ("days", "on_the_moon", "measured"),
    [(8.14, 0.90, 4.02e-3), (9.00, 1.40, 1e-2)],
    ids=["Apollo XI", "Apollo XIV"],
)
def test_what_was_measured_lies_in_the_spread(days, on_the_moon, measured):
    """Two passages, the rest free space and ground. Emulsions lie below the usual rates, which are
    of detectors that see heavy nuclei too: the usual figure may be several times theirs."""
    parts = [
        (2.0, dose_rates.BELT_PASSAGE),
        ((days - on_the_moon) * DAY, dose_rates.FREE_SPACE),
        (on_the_moon * DAY, dose_rates.LUNAR_SURFACE),
    ]
    least, usual, most = (
        sum(amount * getattr(rate, each) for amount, rate in parts)
        for each in ("least", "usual", "most")
    )
    assert least < measured < most
    assert usual == pytest.approx(measured, rel=4.0)  # of one order, no better
