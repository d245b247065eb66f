"""Moon and Sun from DE421. Outside checks of the positions are in tests/published."""

import numpy as np
import pytest

from mplan.physics.bodies import ephemeris, time
from mplan.physics.constants import DAY

FIRST, LAST = (2414992.5 - time.J2000) * DAY, (2524624.5 - time.J2000) * DAY  # of DE421's header


@pytest.mark.parametrize("body", [ephemeris.moon, ephemeris.sun])
@pytest.mark.parametrize("t", [FIRST - DAY, LAST + DAY])
def test_refuses_dates_outside_de421(body, t):
    with pytest.raises(ValueError, match="1899-12-04 to 2200-02-01"):
        body(t)
    with pytest.raises(ValueError, match="outside DE421"):
        body(np.array([0.0, t]))


def test_the_dates_named_in_the_refusal_are_those_of_the_file():
    # A minute inside, and read as UTC: TDB was 32 s ahead then, and is 69 s ahead now.
    assert f"{time.utc_from_tdb(FIRST + 60):%Y-%m-%d}" == ephemeris.FIRST_DAY
    assert f"{time.utc_from_tdb(LAST + 120):%Y-%m-%d}" == ephemeris.LAST_DAY


@pytest.mark.parametrize("body", [ephemeris.moon, ephemeris.sun])
def test_answers_at_both_ends(body):
    for t in (FIRST + 1.0, LAST - 1.0):
        assert np.all(np.isfinite(body(t).r))


@pytest.mark.parametrize(
    ("body", "place", "speed"), [(ephemeris.moon, 2e-3, 2e-6), (ephemeris.sun, 0.1, 1e-4)]
)
def test_one_date_or_several(body, place, speed):
    """A single date lies between nodes, of cubics: what the module says, in any year."""
    dates = np.random.default_rng(1).uniform(FIRST, LAST, 100)
    many = body(dates)
    assert many.r.shape == many.v.shape == (100, 3)
    for t, r, v in zip(dates, *many, strict=True):
        one = body(t)
        np.testing.assert_allclose(one.r, r, rtol=0.0, atol=place)
        np.testing.assert_allclose(one.v, v, rtol=0.0, atol=speed)
    assert body(dates[:1]).r.shape == (1, 3)


@pytest.mark.parametrize("body", [ephemeris.moon, ephemeris.sun])
def test_velocity_is_the_slope_of_position(body):
    """Over +-60 s the central difference errs by a h^2 / 6 of jerk: below 1e-6 m/s for both."""
    t, h = 7.7e8, 60.0
    slope = (body(t + h).r - body(t - h).r) / (2.0 * h)
    np.testing.assert_allclose(body(t).v, slope, atol=2e-5)  # and rounding: 2e-5 m in 1.5e11


def test_a_shared_answer_cannot_be_spoilt():
    with pytest.raises(ValueError, match="read-only"):
        ephemeris.moon(0.0).r[0] = 1.0


def test_sizes():
    """The Moon's distance keeps between 356 and 407 thousand km, the Sun's near one au."""
    t = np.linspace(FIRST + DAY, LAST - DAY, 3000)
    moon = np.linalg.norm(ephemeris.moon(t).r, axis=-1)
    sun = np.linalg.norm(ephemeris.sun(t).r, axis=-1)
    assert 356e6 < moon.min() < 358e6
    assert 405e6 < moon.max() < 407e6
    assert 1.470e11 < sun.min() < sun.max() < 1.522e11
