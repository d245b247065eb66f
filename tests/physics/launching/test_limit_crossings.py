"""Open hours from the flights along the limits, beside a search of the same day all along it."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from itertools import pairwise

import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import launch_time
from mplan.physics.arcs.injection import level
from mplan.physics.arcs.outbound import LunarPassage, target_outbound
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.launching import limit_crossings
from mplan.physics.launching.intervals import open_intervals
from mplan.physics.launching.limit_crossings import Unsettled, between_limits

PASSAGE = LunarPassage(1, 76.0 * c.HOUR, c.R_MOON + 111e3, level(-1.0))
LIMITS = (72.0 * c.DEG, 108.0 * c.DEG)
FIRST = datetime(2034, 6, 2, tzinfo=timezone.utc)
DAYS = (10, 25)
A_MINUTE = 61.0  # s: so well the search all day finds where a side changes, and we to 1 s


def parking(latitude: float, day: int) -> Parking:
    site = Site(latitude * c.DEG, 0.0, 90.0 * c.DEG, 600.0, 19.0 * c.DEG)
    return Parking(site, c.R_EARTH + 185e3, tdb_from_utc(FIRST + timedelta(days=day)))


def on_limit(flown) -> bool:
    return min(abs(flown.azimuth - x) for x in LIMITS) < 1e-6


@pytest.mark.parametrize("latitude", [-20.0, 28.6])
@pytest.mark.parametrize("day", [0, 6, 11])
def test_the_search_of_the_day_finds_the_same(latitude, day, monkeypatch):
    """The same intervals in the same order, their ends at the limits to 0.1 s.

    Both fly along the limit; the sidereal time is counted on from another moment of the day, whose
    nutation moves it by some milliseconds.
    """
    orbit = parking(latitude, day)
    found = between_limits(orbit, LIMITS, PASSAGE)

    def refused(*_):
        raise Unsettled("by the test")

    monkeypatch.setattr(limit_crossings, "between_limits", refused)
    searched = open_intervals(orbit, LIMITS, PASSAGE)
    assert [x.side for x in found] == [x.side for x in searched]
    for here, there in zip(found, searched, strict=True):
        for one, other in ((here.opens, there.opens), (here.closes, there.closes)):
            assert on_limit(one) == on_limit(other)
            apart = 0.1 if on_limit(one) else A_MINUTE
            assert one.lift_off == pytest.approx(other.lift_off, abs=apart)


@pytest.fixture(scope="module")
def turning():
    """Days of June 2034 on which the Moon stands further south than a site 12 deg south."""
    return [
        (parking(-12.0, day), between_limits(parking(-12.0, day), LIMITS, PASSAGE)) for day in DAYS
    ]


def test_where_a_side_changes_the_next_begins_within_a_second(turning):
    changes = 0
    for _, found in turning:
        for one, other in pairwise(found):
            if not (on_limit(one.closes) or on_limit(other.opens)):
                changes += 1
                assert 0.0 < other.opens.lift_off - one.closes.lift_off < 1.0
    assert changes > 0


def test_the_azimuth_nearest_to_one_beyond_is_flown(turning):
    """Where it turns back within an interval, no flight minutes earlier or later comes nearer."""
    turns = 0
    for orbit, found in turning:
        for flights in (x.flights for x in found):
            best = min(range(len(flights)), key=lambda i: flights[i].azimuth)
            if best in (0, len(flights) - 1):
                continue
            turns += 1
            near = flights[best]
            start = launch_time.launch_unknowns(near)
            for minutes in (-10, -5, 5, 10):
                t = near.lift_off + minutes * c.MINUTE
                flown = launch_time.target_at_launch_time(orbit, t, PASSAGE, start=start)
                assert flown.azimuth > near.azimuth - 1e-3 * c.DEG
    assert turns > 0


@pytest.mark.parametrize(
    ("limits", "latitude", "text"),
    [
        ((80.0, 81.0), 28.6, "range"),
        ((-10.0, 40.0), 28.6, "range"),
        ((72.0, 108.0), 5.0, "just reaches"),
    ],
)
def test_what_the_limits_do_not_tell_is_left_to_the_search(limits, latitude, text):
    """A range crossed within minutes or beyond north, and a Moon as far north as planes reach."""
    within = (limits[0] * c.DEG, limits[1] * c.DEG)
    with pytest.raises(Unsettled, match=text):
        between_limits(parking(latitude, 10), within, PASSAGE)


def test_flights_that_are_known_leave_the_intervals_as_they_are():
    """Started from a flight of the day, limits are met at the same moment, to 0.02 s.

    Targets are met to 100 m and 0.1 s. 100 m aside at the Moon's distance are 4 ms of Earth's turn;
    the 0.1 s are met far closer by the last of Newton's steps.
    """
    orbit = parking(28.6, 6)
    planned = [
        target_outbound(orbit, **PASSAGE._asdict(), side=side)
        for side in ("ascending", "descending")
    ]
    without, found = (between_limits(orbit, LIMITS, PASSAGE, known) for known in ((), planned))
    assert [x.side for x in found] == [x.side for x in without]
    ends = [(x.opens, x.closes) for x in without]
    for pair, others in zip(((x.opens, x.closes) for x in found), ends, strict=True):
        for one, other in zip(pair, others, strict=True):
            apart = 0.02 if on_limit(one) else limit_crossings.SHARP
            assert one.lift_off == pytest.approx(other.lift_off, abs=apart)
