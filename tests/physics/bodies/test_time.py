"""Time scales: UTC to TDB and back."""

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mplan.physics.bodies import time
from mplan.physics.constants import DAY

UTC = timezone.utc
# The last second before each of these midnights was followed by a leap second (IERS Bulletin C).
LEAPS = [datetime(1973, 1, 1), datetime(1999, 1, 1), datetime(2015, 7, 1), datetime(2017, 1, 1)]


@settings(deadline=None)
@given(st.datetimes(datetime(1900, 1, 1), datetime(2053, 10, 1), timezones=st.just(UTC)))
def test_round_trip(moment):
    """A UTC date comes back to a microsecond: the clock's own step, and that of a float of TDB.

    In the years of UTC's small steps ERFA counts the step into the day one way and not the
    other, so on those days, a dozen in all, 0.11 s is what must be allowed.
    """
    back = time.utc_from_tdb(time.tdb_from_utc(moment))
    allowed = 110_000 if 1960 <= moment.year < 1972 else 1
    assert abs(back - moment) <= timedelta(microseconds=allowed)


@pytest.mark.parametrize("midnight", LEAPS, ids=str)
@pytest.mark.parametrize("offset", [-2.0, -1.0, -0.001, 0.0, 0.001, 1.0])
def test_round_trip_beside_a_leap_second(midnight, offset):
    moment = (midnight + timedelta(seconds=offset)).replace(tzinfo=UTC)
    back = time.utc_from_tdb(time.tdb_from_utc(moment))
    assert abs(back - moment) <= timedelta(microseconds=1)


@pytest.mark.parametrize("midnight", LEAPS, ids=str)
def test_a_leap_second_is_counted(midnight):
    """Between 23:59:59 and 0:00:00 two seconds pass, for TDB and for a stop-watch alike."""
    before = time.tdb_from_utc(midnight - timedelta(seconds=1))
    assert time.tdb_from_utc(midnight) - before == pytest.approx(2.0, abs=1e-6)


def test_inside_a_leap_second_the_clock_reads_the_next_second():
    """A datetime has no 23:59:60; half a second into it reads 23:59:59.5, and never fails."""
    inside = time.tdb_from_utc(datetime(2016, 12, 31, 23, 59, 59)) + 1.5
    read = time.utc_from_tdb(inside)
    assert abs(read - datetime(2016, 12, 31, 23, 59, 59, 500000, UTC)) < timedelta(microseconds=2)


def test_a_date_that_no_calendar_has_is_refused():
    with pytest.raises(ValueError, match="no date in UTC"):
        time.utc_from_tdb(-3e11)


def test_j2000_is_noon_terrestrial_time():
    """2000-01-01 12:00 TT is 11:58:55.816 UTC: 32 leap seconds and 32.184 s before it (IAU).

    TDB differs from TT by less than 2 ms, by 0.1 ms on that day.
    """
    assert time.tdb_from_utc(datetime(2000, 1, 1, 11, 58, 55, 816000)) == pytest.approx(0, abs=2e-4)


def test_naive_is_utc_and_other_zones_are_turned_into_it():
    naive = datetime(2029, 3, 3, 12)
    east = datetime(2029, 3, 3, 15, tzinfo=timezone(timedelta(hours=3)))
    assert time.tdb_from_utc(naive) == time.tdb_from_utc(east)


def test_tt_keeps_within_two_milliseconds_of_tdb():
    for t in (-2e9, 0.0, 1.2345e9):
        day, part = time.tt_from_tdb(t)
        assert day == time.J2000
        assert 0.0 <= abs(part * DAY - t) < 2e-3
