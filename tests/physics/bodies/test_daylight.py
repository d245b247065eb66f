"""The light at a place on Earth, against worked examples of the Sun's place and of the sundial."""

from __future__ import annotations

from datetime import datetime
from math import pi

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.bodies import daylight, time

# Meeus, Astronomical Algorithms, examples 25.a and 28.a (from memory): 1992 October 13, 0 h of
# dynamical time, apparent declination -7.78507 deg, equation of time +13 min 42.6 s.
DECLINATION, EQUATION = -7.78507 * c.DEG, 13.0 * 60.0 + 42.6
T = time.tdb_from_utc(datetime(1992, 10, 12, 23, 59, 0, 816000))  # 59.184 s behind dynamical time


def test_the_sundial():
    """Mean time and the equation of time, within 2 s: UT1 was within 1 s of UTC."""
    there = daylight.light_at(0.0, 0.0, T).solar_time
    assert there == pytest.approx(EQUATION - 59.184, abs=2.0)


def test_it_goes_round_with_the_longitude():
    """Four minutes a degree, and past midnight it begins anew."""
    here = daylight.light_at(0.3, 0.0, T).solar_time
    assert daylight.light_at(0.3, 30.0 * c.DEG, T).solar_time == pytest.approx(here + 2.0 * c.HOUR)
    assert daylight.light_at(0.3, -30.0 * c.DEG, T).solar_time == pytest.approx(
        here + 22.0 * c.HOUR
    )


@pytest.mark.parametrize("latitude", [-60.0, 0.0, 45.0, 80.0])
def test_noon_and_midnight(latitude):
    """The Sun's height on the meridian follows from its declination.

    0.01 deg: the book's Sun is a low-precision one, and its parallax is 9 arcsec.
    """
    latitude *= c.DEG
    noon = (
        pi - daylight.light_at(0.0, 0.0, T).solar_time / c.DAY * 2.0 * pi
    )  # longitude where it is noon
    high = daylight.light_at(latitude, noon, T)
    assert high.solar_time == pytest.approx(c.DAY / 2.0)
    assert high.sun == pytest.approx(pi / 2.0 - abs(latitude - DECLINATION), abs=0.01 * c.DEG)
    low = daylight.light_at(latitude, noon + pi, T)
    assert low.sun == pytest.approx(abs(latitude + DECLINATION) - pi / 2.0, abs=0.01 * c.DEG)


@pytest.mark.parametrize(
    ("degrees", "word"),
    [
        (30.0, "daylight"),
        (0.0, "daylight"),
        (-0.1, "twilight"),
        (-5.9, "twilight"),
        (-6.1, "night"),
    ],
)
def test_words(degrees, word):
    assert daylight.word(degrees * c.DEG) == word
    assert daylight.Light(degrees * c.DEG, 0.0).word == word


def test_the_night_begins_and_ends_once_a_day():
    """Round the equator the light changes four times, with twilight between day and night."""
    words = [daylight.light_at(0.0, x, T).word for x in np.radians(range(0, 360, 1))]
    changes = [(a, b) for a, b in zip(words, words[1:] + words[:1], strict=True) if a != b]
    assert len(changes) == 4
    assert ("daylight", "night") not in changes
    assert ("night", "daylight") not in changes
