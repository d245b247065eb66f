"""Windows that are flown as the calendar asks for them: which days, kept, and what they change."""

from datetime import date, datetime, timedelta, timezone

import pytest

import mplan
from mplan.programme import flown_windows, load_programme, missed_window, plan_programme
from mplan.programme.flown_windows import fly_days, known
from mplan.programme.schedule import schedule
from tests.programme.conftest import MISSIONS, SMALL

TODAY = date(2031, 1, 1)
OPEN = (date(2031, 7, 12), date(2031, 8, 2))  # days on which a mission closes in these tests


@pytest.fixture
def asked(monkeypatch, tmp_path):
    """The days that are flown, in order; days are judged by `OPEN`, in a cache of this test."""
    days = []

    def judged(scenario, of):
        for day in of:
            days.append(day)
            opens = datetime(day.year, day.month, day.day, 10, tzinfo=timezone.utc)
            yield day, ((opens, opens + timedelta(hours=4)),) if day in OPEN else ()

    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path))
    monkeypatch.setattr(flown_windows, "_flown", judged)
    monkeypatch.setattr(flown_windows, "_KNOWN", {})
    return days


@pytest.fixture
def programme(written):
    """The first mission could lift off on day 200, 20 July, but for its windows."""
    second = "\n[rehearsals.drill]", 'after = ["first"]\n\n[rehearsals.drill]'
    return load_programme(written(SMALL, ('after = ["trial"]', "fly_windows = true"), second))


def test_the_first_day_that_closes_is_found(asked, programme):
    """Day 200 does not close, 2 August is the first after it that does: no earlier day is flown."""
    calendar = plan_programme(programme, remedies=False)
    found = {task.key: task.begins for task in calendar.tasks}
    assert found["flight:first"] == OPEN[1]
    assert min(asked) == TODAY + timedelta(days=200)
    assert len(asked) == len(set(asked)) == flown_windows.STRETCH
    assert [(x.opens.date(), x.met) for x in calendar.windows] == [(OPEN[1], True)]


def test_what_was_flown_is_kept(asked, programme):
    plan_programme(programme, remedies=False)
    flown_windows._KNOWN.clear()  # as another process begins
    count = len(asked)
    plan_programme(programme, remedies=False)
    assert len(asked) == count
    assert known(programme.scenarios["first"].scenario)[OPEN[1]]


def test_a_day_that_is_not_flown_is_told(asked, programme):
    calendar = plan_programme(programme, remedies=False, fly_windows=False)
    assert asked == []
    texts = [x.text for x in calendar.clashes if "not flown" in x.text]
    assert texts == [
        "First lifts off on 2031-07-20, a day that is not flown: whether it is in a window is not "
        "known"
    ]
    assert schedule(programme).unflown == ("first",)


def test_a_missed_window_flies_on_to_the_next(asked, programme, monkeypatch):
    """The next day that closes is 40 d on, beyond what was flown for the calendar."""
    monkeypatch.setattr("tests.programme.test_flown_windows.OPEN", (*OPEN, date(2031, 9, 11)))
    found = missed_window(programme, "first", lambda count, total, name: None)
    assert (found.planned, found.next_opens) == (OPEN[1], date(2031, 9, 11))
    assert found.cost.launch_days == 40


def test_what_is_found_survives_an_interruption(asked, monkeypatch):
    """Ctrl-C after the third day: three days are known, and only the rest is flown then."""
    scenario = mplan.load(MISSIONS / "orbit_and_return.toml")

    def stop(count, total):
        if count == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fly_days(scenario, TODAY, days=5, done=stop)
    assert len(known(scenario)) == 3
    fly_days(scenario, TODAY, days=5)
    assert asked == [TODAY + timedelta(days=i) for i in range(5)]


def test_the_day_of_a_reference_mission_opens(flyby_plan):
    """Flown for what it is, without the stand-in: the day its plan closes on has windows."""
    scenario = flyby_plan.scenario
    assert flyby_plan.closes
    found = flown_windows.openings(scenario, scenario.dates.launch_day)
    assert found
    assert all(a < b for a, b in found)
