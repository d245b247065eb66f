"""Launch windows of a mission of several ships: all are moved together, and each day is flown."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from io import StringIO
from pathlib import Path

import numpy as np
import pytest

import mplan
from mplan.flight import lunar_orbit, walk
from mplan.flight.launch import plane_limits, planned_plane
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.twobody import circular_speed
from mplan.scenario import ScenarioError
from mplan.scenario.dates import FIRST_DAY
from mplan.show import launch_windows
from mplan.show.terminal import print_windows
from mplan.studies import maps, windows
from mplan.studies.launches import launch_days

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"
DAY = date(2032, 5, 22)  # the Moon is out of reach along the planned azimuth


@pytest.fixture(scope="module")
def low():
    """The lander waits in Earth orbit; it need not close."""
    return mplan.load(Path(__file__).parent / "two_launches.toml")


@pytest.fixture(scope="module")
def high():
    """The lander waits in lunar orbit."""
    return mplan.load(SCENARIOS / "crew_follows.toml")


@pytest.fixture(scope="module")
def answers(low):
    return windows.of_day(low, DAY)


def test_who_decides(low, high, reference_landing):
    """The ship that waits in Earth orbit; the main ship where it goes to the Moon by itself."""
    assert launch_days.leader(low) == "lander"
    assert launch_days.leader(high) == launch_days.leader(reference_landing) == ""


def test_ships_keep_the_days_between_their_launches(low, high):
    """Moved by 20 days, both are."""
    for scenario in (low, high):
        later = launch_days.moved(scenario, scenario.dates.launch_day + timedelta(20))
        gaps = [x.dates.launch_day - x.views["lander"].dates.launch_day for x in (scenario, later)]
        assert gaps[0] == gaps[1] > timedelta(0)
        assert later.dates.launch_day - scenario.dates.launch_day == timedelta(20)


def test_a_chance_is_that_of_both_launches(answers):
    """The ship that waits goes within its window, the other at the moment of its plane, later."""
    found = windows.chances(answers)
    assert {x.side for x in found} == set(windows.SIDES)
    for chance in found:
        (lander,) = chance.others
        assert lander.opens <= lander.lift_off <= lander.closes
        assert lander.lift_off.date() == DAY - timedelta(1)
        assert chance.opens == chance.lift_off == chance.closes
        assert chance.day == chance.lift_off.date() == DAY
        assert lander.lift_off < chance.lift_off < chance.perilune


def test_a_chance_is_the_plan_of_that_day(low, answers):
    """What the table says is what the mission gives that is launched so."""
    chance = windows.chances(answers)[-1]
    assert not chance.planned
    plan = mplan.fly(windows.as_flown(low, chance))
    assert chance.verdict == plan.verdict
    assert chance.lift_off == plan.flight.utc(0.0)
    lander = plan.flight.others["lander"]
    assert chance.others[0].lift_off == lander.utc(0.0)
    site = lander.scenario.launch_site
    assert site.azimuth_min < chance.others[0].azimuth < site.azimuth_max
    assert abs(chance.others[0].azimuth - site.azimuth) > c.DEG  # the planned one misses the Moon


def test_other_days_cost_what_the_plan_does_on_its_own(low):
    """The map's first cell is the way of the ship that waits, after its 47 revolutions."""
    plan = mplan.fly(low)
    out = plan.flight.end.outbound
    found = maps.there(plan, 1, [out.perilune.t - out.injection])
    captured = np.linalg.norm(out.perilune.lunar_v)
    captured -= circular_speed(lunar_orbit.radius(low), c.MU_MOON)
    assert found.delta_v[0, 0] == pytest.approx(out.delta_v + captured, abs=0.1)


def test_a_day_on_which_the_ships_cannot_meet_says_so(low):
    """What is wrong is told with the name of the ship, and no launch is made up."""
    early = low.change("ships.lander.orbits.parking_revolutions", 12)
    told = windows.of_day(early, early.dates.launch_day)
    assert [x.side for x in told] == list(windows.SIDES)
    for each in told:
        assert isinstance(each, windows.NoChance)
        assert "ship lander: found 12" in each.why


def test_what_a_ship_states_is_told_as_its_own(low):
    """A launch time at which the ship that waits cannot go is refused under that ship's key."""
    with pytest.raises(ScenarioError) as caught:
        mplan.fly(low.change("ships.lander.dates.launch_time", "00:10:00"))
    assert {x.key for x in caught.value.problems} == {"ships.lander.dates.launch_time"}


def test_out_of_the_ephemeris(low):
    """The first ship would be launched before the ephemeris begins."""
    one, other = windows.of_day(low, FIRST_DAY)
    assert "ship lander" in one.why
    assert one.why == other.why


def test_a_ship_that_the_moon_dates_goes_another_way_where_its_azimuth_misses(high):
    """Along 82 deg no plane leads to the Moon that day: along the nearest that does."""
    flat = high.change("ships.lander.launch_site.azimuth", "82 deg")
    with pytest.raises(Unflyable, match=r"the Moon, .* stays out of"):
        walk.fly(flat.views["lander"])
    view = launch_days.placed(flat).views["lander"]
    plane, (least, most) = walk.fly(view).end.launch.azimuth, plane_limits(view)
    assert least < plane < most
    assert abs(plane - planned_plane(view)) > c.DEG
    assert launch_days.placed(high).views["lander"].dates.launch_time is None


def test_a_clock_time_of_the_main_ship_is_its_own(high):
    """A ship that shares the dates of the file goes when it went, whenever the other one goes."""
    moment = datetime(2032, 5, 14, 9, 30, tzinfo=timezone.utc)
    before = walk.fly(high.views["lander"]).end.lift_off
    timed = launch_days.at_clock(high, moment, "ascending")
    assert timed.dates.launch_time == moment.time()
    assert walk.fly(timed.views["lander"]).end.lift_off == pytest.approx(before, abs=1.0)


def test_what_is_shown_and_written(low, answers):
    """A table more on the terminal, a column and a list in the document; times with UTC."""
    found = windows.chances(answers)
    text = StringIO()
    print_windows(low, answers, text)
    assert "Launches of the other ships, as many days apart as planned" in text.getvalue()
    row = launch_windows.frame(answers).iloc[0]
    assert row["other ships [UTC]"] == f"lander {found[0].others[0].lift_off:%m-%d %H:%M}"
    entry = launch_windows.document(low, answers)["windows"][0]
    (lander,) = entry["other_ships"]
    assert lander["ship"] == "lander"
    assert entry["opens_utc"] == entry["closes_utc"] == entry["lift_off_utc"]
    assert lander["opens_utc"] <= lander["lift_off_utc"] <= lander["closes_utc"]
