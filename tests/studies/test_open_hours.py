"""Launch windows by brute force: a flight every 20 minutes of a day, beside the intervals found.

Only the way to the Moon is flown, once at every moment from its own guess, and once along every
azimuth on both sides: both share the arcs with the search for intervals, not its path over the day.
`MPLAN_DAYS=27` makes it a month of days at each latitude; CI takes two days of one month.
"""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from typing import get_args

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import launch_time, outbound
from mplan.physics.arcs.injection import level
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.launching.intervals import open_intervals

PASSAGE = outbound.LunarPassage(1, 76.0 * c.HOUR, c.R_MOON + 111e3, level(-1.0))
LOW, HIGH = 72.0, 108.0  # deg
DAYS = int(os.environ.get("MPLAN_DAYS", "2"))
EVERY = 13 if DAYS == 2 else 1  # d: half a month on, the Moon is on the other side of the equator
MOMENTS = range(0, 24 * 60, 20)
FIRST = datetime(2034, 6, 2, tzinfo=timezone.utc)
NEARLY = 90.0  # s at an end: a minute to which those of no azimuth's limit are found, and a half


def parking(latitude: float, day: int) -> Parking:
    site = Site(latitude * c.DEG, 0.0, 90.0 * c.DEG, 600.0, 19.0 * c.DEG)
    t = tdb_from_utc(FIRST + timedelta(days=EVERY * day))
    return Parking(site, c.R_EARTH + 185e3, t)


def flown(orbit: Parking, moment: float) -> list[outbound.Outbound]:
    """What lifts off at a moment along an allowed azimuth."""
    try:
        found = launch_time.target_at_launch_time(orbit, moment, PASSAGE)
    except ArithmeticError:
        return []
    return [found] if LOW * c.DEG <= found.azimuth <= HIGH * c.DEG else []


@pytest.mark.parametrize("day", range(DAYS))
@pytest.mark.parametrize("latitude", [5.0, -20.0, 28.6, 45.0])
def test_every_minute_that_flies_lies_in_a_window(latitude, day):
    """And every moment inside one flies, but for the last minute at an end."""
    orbit = parking(latitude, day)
    found = open_intervals(orbit, (LOW * c.DEG, HIGH * c.DEG), PASSAGE)
    assert found
    for minute in MOMENTS:
        moment = orbit.t + minute * c.MINUTE
        off = min(_outside(each, moment) for each in found)
        if flown(orbit, moment):
            assert off <= NEARLY
        elif off < -NEARLY:  # what the guess misses is flown from the interval's own flights
            inside = next(x for x in found if _outside(x, moment) == off)
            near = min(inside.flights, key=lambda x: abs(x.lift_off - moment))
            start = launch_time.launch_unknowns(near)
            again = launch_time.target_at_launch_time(orbit, moment, PASSAGE, start=start)
            assert LOW * c.DEG - 1e-4 <= again.azimuth <= HIGH * c.DEG + 1e-4


@pytest.mark.parametrize("latitude", [5.0, -20.0, 28.6, 45.0])
def test_every_azimuth_that_flies_lies_in_a_window(latitude):
    """The other way round: the lift-off of every azimuth, 3 deg apart, on both sides."""
    orbit = parking(latitude, 1)
    found = open_intervals(orbit, (LOW * c.DEG, HIGH * c.DEG), PASSAGE)
    count = 0
    for azimuth in np.arange(LOW, HIGH + 1.0, 3.0):
        along = replace(orbit, site=replace(orbit.site, azimuth=azimuth * c.DEG))
        for side in get_args(outbound.Side):
            try:
                out = outbound.target_outbound(along, **PASSAGE._asdict(), side=side)
            except ArithmeticError:
                continue
            if 0.0 <= out.lift_off - orbit.t < c.DAY:
                count += 1
                assert min(_outside(each, out.lift_off) for each in found) <= NEARLY
    assert count > 5


def _outside(interval, moment: float) -> float:
    """How far [s] a moment lies outside an interval, below zero inside."""
    return max(interval.opens.lift_off - moment, moment - interval.closes.lift_off)


def test_two_windows_on_each_side_where_the_moon_stands_further_from_the_equator():
    """From 5.2 deg north in mid-June 2034, due east leads to no Moon 17 deg from the equator."""
    orbit = replace(parking(5.2, 0), t=tdb_from_utc(datetime(2034, 6, 15, tzinfo=timezone.utc)))
    found = open_intervals(orbit, (LOW * c.DEG, HIGH * c.DEG), PASSAGE)
    sides = [each.side for each in found]
    assert sides == ["descending", "ascending", "descending", "ascending"]
    for each in found:
        azimuths = [x.azimuth / c.DEG for x in each.flights]
        assert max(azimuths) < 76.0 or min(azimuths) > 103.0


def test_where_site_and_moon_stand_opposite_every_azimuth_leads_there_within_minutes():
    """From 18 deg north, the descending window closes on its limit though its azimuth leaps."""
    orbit = replace(parking(18.0, 0), t=tdb_from_utc(datetime(2034, 6, 14, tzinfo=timezone.utc)))
    first, last = open_intervals(orbit, (LOW * c.DEG, HIGH * c.DEG), PASSAGE)
    assert (first.side, last.side) == ("descending", "ascending")
    assert first.closes.azimuth / c.DEG == pytest.approx(HIGH, abs=1e-6)
    assert last.opens.azimuth / c.DEG == pytest.approx(LOW, abs=1e-6)
    azimuth = [x.azimuth for x in first.flights if first.closes.lift_off - x.lift_off < 9 * 60.0]
    assert (max(azimuth) - min(azimuth)) / c.DEG > 10.0


def test_an_unlimited_range_is_open_all_day():
    """Along any azimuth from north to south by the east the Moon is reached at almost any time."""
    orbit = parking(28.6, 0)
    found = open_intervals(orbit, (0.0, np.pi), PASSAGE)
    day = (orbit.t, orbit.t + c.DAY)
    spans = [(max(day[0], x.opens.lift_off), min(day[1], x.closes.lift_off)) for x in found]
    assert sum(b - a for a, b in spans) > 0.95 * c.DAY


@pytest.mark.parametrize("width", [0.0, 0.2, 2.0])
def test_a_narrow_range_is_not_passed_unseen(width):
    """A range that the azimuth crosses within minutes, or one azimuth alone, has its windows."""
    orbit = parking(28.6, 0)
    wide = open_intervals(orbit, (LOW * c.DEG, HIGH * c.DEG), PASSAGE)
    found = open_intervals(orbit, (80.0 * c.DEG, (80.0 + width) * c.DEG), PASSAGE)
    day = [x for x in wide if orbit.t < x.opens.lift_off and x.closes.lift_off < orbit.t + c.DAY]
    assert len(day) >= 1
    for each in day:
        inside = [x for x in found if _outside(each, x.opens.lift_off) < 0.0]
        assert [x.side for x in inside] == [each.side]
        ends = sorted((inside[0].opens.azimuth / c.DEG, inside[0].closes.azimuth / c.DEG))
        assert ends == pytest.approx([80.0, 80.0 + width], abs=1e-6)
