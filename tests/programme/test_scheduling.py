"""Schedules: precedence held, nothing double-booked, as early as an exhaustive search finds."""

from datetime import date
from itertools import pairwise, permutations
from random import Random

import pytest

from mplan.programme import load_programme, plan_programme
from mplan.programme.launching import launchings
from mplan.programme.schedule import schedule
from mplan.programme.searching.bounding import relaxed
from tests.programme.conftest import HEAD, SMALL, many


def by_key(calendar):
    return {task.key: task for task in calendar.tasks}


@pytest.fixture
def small(written):
    return plan_programme(load_programme(written()), remedies=False)


def test_the_small_programme_by_hand(small):
    """Worked out on paper, days from 1 January 2031.

    The trial takes the unit in stock: shipped 5 d, on the pad 20 d, lift-off on day 25. The engine
    is qualified and delivered by day 70; the first unit is built by day 170, shipped and stacked by
    195, the second begun 91 d later. The crew trains 200 d, so the first mission lifts off on day
    200; unit two is ready on day 261: lift-off on day 286, training from day 226 on.
    """
    found = by_key(small)
    day = {key: (task.begins - date(2031, 1, 1)).days for key, task in found.items()}
    first, second = sorted(("flight:first", "flight:second"), key=day.__getitem__)
    assert (day["flight:trial"], day[first], day[second]) == (25, 200, 286)
    assert day["qualify:lamp"] == 0
    assert day["deliver:lamp"] == 50
    builds = sorted(day[key] for key in found if key.startswith("build:"))
    assert builds == [70, 161]
    assert day[second.replace("flight", "train")] == 226
    assert small.proven
    assert small.finish == date(2031, 10, 22)  # day 294


def test_the_critical_path_is_what_holds_the_end(small):
    """Engine, both units of the line, shipping, pad, flight: none may slip, all else may."""
    last = max((t for t in small.tasks if t.kind == "flight"), key=lambda task: task.ends).mission
    critical = {task.key for task in small.tasks if task.critical}
    other = {"first": "second", "second": "first"}[last]
    assert critical == {
        "qualify:lamp",
        "deliver:lamp",
        f"build:{other}:stage",
        f"build:{last}:stage",
        f"ship:{last}:stage",
        f"stack:{last}",
        f"flight:{last}",
    }
    for key in critical:
        assert by_key(small)[key].float_days == 0.0
    assert by_key(small)[f"flight:{other}"].float_days > 0.0


def test_what_may_slip_may_slip(written, small):
    """A unit built later by its float ends the programme no later; one day more does."""
    programme = load_programme(written())
    critical = programme.change("engines.lamp.qualification", "51 d")
    assert (schedule(critical).finish - small.finish).days == 1
    trial = by_key(small)["flight:trial"].float_days
    slipped = date.fromordinal(date(2031, 1, 26).toordinal() + int(trial))
    held = programme.change("test_flights.trial.launch_not_before", slipped.isoformat())
    assert schedule(held).finish == small.finish


def check(calendar):
    """Assert precedence and that pads, crews, teams do one thing at a time."""
    tasks = by_key(calendar)
    for task in tasks.values():
        for key in task.after:
            earlier = tasks[key]
            overlap = {earlier.kind, task.kind} in ({"build"}, {"flight", "turnaround"})
            assert earlier.begins <= task.begins if overlap else earlier.ends <= task.begins
    programme = calendar.programme
    held = {}
    for task in tasks.values():
        launch = programme.launches.get(task.mission)
        if task.kind in ("stack", "turnaround"):
            held.setdefault(("pad", launch.pad), []).append(task)
        if task.kind in ("flight", "test flight", "recovery", "rehearse"):
            held.setdefault(("team", task.resource), []).append(task)
        if task.kind in ("train", "flight"):
            held.setdefault(("crew", launch.crew), []).append(task)
    for used in held.values():
        used.sort(key=lambda task: (task.begins, task.ends))
        assert all(a.ends <= b.begins for a, b in pairwise(used))
    for window in (x for x in calendar.windows if x.met):
        day = tasks[f"flight:{window.mission}"].begins
        assert window.opens.date() <= day <= window.closes.date()
    for name, element in programme.elements.items():
        builds = sorted(t.begins for t in tasks.values() if t.kind == "build" and t.element == name)
        for i, first in enumerate(builds):
            # So many begun within a year, to a day's rounding, as the line can.
            most = element.rate * 365.25 * 86400.0
            within = [x for x in builds[i:] if (x - first).days < 364]
            assert len(within) <= most + 1.0


@pytest.mark.parametrize("seed", range(4))
def test_eight_missions_hold_what_they_must(written, seed):
    calendar = plan_programme(load_programme(written(many(8, seed, elements=5))), remedies=False)
    check(calendar)
    assert {x.key for x in calendar.tasks if x.kind == "flight"} == {
        f"flight:m{i}" for i in range(8)
    }


def test_twenty_missions_are_scheduled_the_same_each_time(written):
    programme = load_programme(written(many(20, 1)))
    one, other = (plan_programme(programme, remedies=False) for _ in range(2))
    check(one)
    assert one == other
    # What is left to prove: 2.6 % of the sum of launch days when this was written, 30 d a launch.
    launches = [x.begins - one.programme.today for x in one.tasks if x.kind == "flight"]
    assert 0.0 <= one.gap_days < 0.05 * sum(x.days for x in launches)


@pytest.mark.parametrize("seed", range(4))
def test_no_schedule_is_better_than_the_bound(written, seed):
    """Five missions, whose best days are proven: the relaxation is below them, and near."""
    programme = load_programme(written(many(5, seed, elements=4, crews=2)))
    found = schedule(programme).solved
    assert found.proven
    best = sum(found.launches.values())
    bound = sum(relaxed(programme, launchings(programme)).values())
    assert 0.85 * best < bound <= best + 1e-6


ONE_PAD = """
[pads.only]
turnaround = "17 d"

[control_teams.a]
[elements.e]
build_time = "1 d"
rate = "1 /year"
stock = 100
"""


@pytest.mark.parametrize("seed", range(3))
def test_as_good_as_every_order_tried(written, seed):
    """One pad, release days and stacking times: the least sum of launch days of 5! orders."""
    random = Random(seed)
    jobs = [(random.randint(10, 60), random.randint(20, 200)) for _ in range(5)]
    text = HEAD + ONE_PAD
    for i, (stacking, release) in enumerate(jobs):
        day = date.fromordinal(date(2031, 1, 1).toordinal() + release)
        text += (
            f'[test_flights.t{i}]\npad = "only"\ncontrol_team = "a"\nstacking = "{stacking} d"\n'
            f'duration = "1 d"\nelements = ["e"]\nlaunch_not_before = {day}\n'
        )
    text += "[missions]\n"
    best = min(total(order) for order in permutations(jobs))
    programme = load_programme(written(text))
    assert sum(relaxed(programme, launchings(programme)).values()) <= best + 1e-6
    found = schedule(programme)
    assert found.solved.proven
    assert sum(found.solved.launches.values()) == best


def total(order):
    free, launches = 0, []
    for stacking, release in order:
        launches.append(max(free + stacking, release))
        free = launches[-1] + 17
    return sum(launches)


def test_windows_are_met_or_told_as_missed(written):
    """The first window that the build can meet: day 200 is missed, the next opens on day 220."""
    windows = "windows = [{opens = 2031-07-01, closes = 2031-07-03}, "
    windows += "{opens = 2031-08-09, closes = 2031-08-11}]"
    file = written(SMALL, ('after = ["trial"]', windows))
    calendar = plan_programme(load_programme(file), remedies=True)
    assert [x.met for x in calendar.windows] == [False, True]
    assert by_key(calendar)["flight:first"].begins == date(2031, 8, 9)
    text = next(x.text for x in calendar.clashes if "First misses" in x.text)
    assert "the window of 2031-07-01" in text
    assert "39 d after the one missed" in text
    remedies = next(x.remedies for x in calendar.clashes if "First misses" in x.text)
    assert remedies
    assert all("lifts off on" in x.outcome for x in remedies)
