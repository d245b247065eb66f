"""Money: spread by year, shared, learnt, and what decisions cost in days and money."""

from datetime import date

import pytest

import mplan
from mplan.programme import (
    change_of_design,
    load_programme,
    missed_window,
    plan_programme,
)
from mplan.programme.costs import by_year, spread
from tests.programme.conftest import MISSIONS, SMALL


def test_an_amount_is_spread_day_by_day():
    found = dict(spread(730.0, date(2031, 10, 1), date(2033, 9, 30)))
    assert found == {2031: 92.0, 2032: 366.0, 2033: 272.0}


def test_the_small_programme_adds_up(written):
    """Two units of 30 M with two engines of 2 M, a development of 10 M, operations of 1 M."""
    calendar = plan_programme(load_programme(written()))
    assert sum(x.amount for x in calendar.costs) == pytest.approx(2 * 34e6 + 10e6 + 1e6)
    shared = [x for x in calendar.costs if x.kind == "nonrecurring"]
    # By the units that each launch takes: one each, that of the trial from stock among them.
    assert {x.mission: x.amount for x in shared} == pytest.approx(
        dict.fromkeys(("trial", "first", "second"), 10e6 / 3)
    )


def test_units_cost_less_as_they_are_learnt(written):
    """Two units built before: the third and fourth cost 0.9**log2(3) and 0.81 of the first."""
    pair = ('cost = "30 M"', 'cost = "30 M"\nbuilt_before = 2')
    curve = ("[pads.north]", '[learning]\ncurve = "unit"\nslope = 0.9\n\n[pads.north]')
    calendar = plan_programme(load_programme(written(SMALL, pair, curve)))
    found = sorted(x.amount for x in calendar.costs if x.element == "stage")
    assert found == pytest.approx([30e6 * 0.81, 30e6 * 0.846207], rel=1e-5)


def test_a_unit_under_way_costs_what_is_left_of_it(written):
    """Ready in 40 of its 100 days: two fifths; a longer build of later units changes none of it."""
    begun = ("stock = 1", "under_way = [2031-02-10]")
    programme = load_programme(written(SMALL, begun))
    longer = programme.change("elements.stage.build_time", "130 d")
    for each in (programme, longer):
        calendar = plan_programme(each)
        found = sorted(x.amount for x in calendar.costs if x.element == "stage")
        assert found == pytest.approx([0.4 * 30e6, 30e6, 30e6])
    stated = longer.change("elements.stage.under_way_build_time", "160 d")
    costs = plan_programme(stated).costs
    assert min(x.amount for x in costs if x.element == "stage") == pytest.approx(30e6 / 4)


def test_a_year_over_its_budget_is_a_clash_with_remedies(written):
    budget = ("[pads.north]", '[budget]\n2031 = "50 M"\n\n[pads.north]')
    calendar = plan_programme(load_programme(written(SMALL, budget)))
    assert by_year(calendar.costs) == pytest.approx({2031: 79e6})
    (clash,) = [x for x in calendar.clashes if "budget" in x.text]
    assert "2031 costs 79.0 M crown, 29.0 M more than its budget, 50.0 M" in clash.text
    assert clash.severity == "needs a decision"
    late, year_later = clash.remedies
    assert not late.closes
    assert year_later.closes  # one unit with its engines goes to 2032
    assert "2031 costs 45.0 M" in year_later.outcome


def test_a_missed_window_costs_the_days_to_the_next(written):
    windows = "windows = [{opens = 2031-07-20, closes = 2031-07-22}, "
    windows += "{opens = 2031-08-19, closes = 2031-08-21}]"
    programme = load_programme(written(SMALL, ('after = ["trial"]', windows)))
    missed = missed_window(programme, "first")
    assert (missed.planned, missed.next_opens) == (date(2031, 7, 20), date(2031, 8, 19))
    assert missed.cost.launch_days == 30
    assert missed.cost.proven
    later = programme.change("missions.first.launch_not_before", "2031-08-19")
    assert missed_window(later, "first").cost is None


def test_another_design_costs_days_and_money(written):
    """A stage yet to be developed takes the place of the one that is built."""
    new = '[elements.new_stage]\nbuild_time = "120 d"\nrate = "4 /year"\nshipping = "5 d"\n'
    new += 'development = "300 d"\ndevelopment_cost = "50 M"\ncost = "40 M"\n\n[test_flights.trial]'
    programme = load_programme(written(SMALL, ("[test_flights.trial]", new)))
    one = programme.change("missions.first.elements", ["new_stage"])
    before, after = (plan_programme(x, remedies=False) for x in (programme, one))
    begins = {t.key: t.begins for t in after.tasks}["flight:first"]
    assert (begins - date(2031, 1, 1)).days == 300 + 120 + 5 + 20
    extra = sum(x.amount for x in after.costs) - sum(x.amount for x in before.costs)
    assert extra == pytest.approx(50e6 + 40e6 - 34e6)


def test_another_scenario_for_a_mission(written):
    """A stack whose elements are listed in the scenario alone: only one file for them all."""
    scenario = MISSIONS / "orbit_and_return.toml"
    text = SMALL
    for name in mplan.load(scenario).stack:
        text += f'\n[elements.{name}]\nbuild_time = "150 d"\nrate = "4 /year"\ncost = "10 M"\n'
    programme = load_programme(written(text))
    found = change_of_design(programme, "second", scenario)
    assert found.after.asked["second"].elements == mplan.load(scenario).stack
    stack = len(mplan.load(scenario).stack)
    assert found.money == pytest.approx(stack * 10e6 - 34e6)


def test_a_crew_and_pad_held_twice_is_a_clash(written):
    """Two stated launches five days apart on one pad, with one crew: the day cannot be held."""
    pairs = (('after = ["trial"]', "launch = 2031-09-01"),)
    text = SMALL.replace(
        'elements = ["stage"]\n\n[rehearsals',
        'elements = ["stage"]\nlaunch = 2031-09-06\n\n[rehearsals',
    )
    calendar = plan_programme(load_programme(written(text, *pairs)))
    stops = [x for x in calendar.clashes if x.severity == "stops the flight"]
    assert len(stops) == 1
    assert "Second cannot lift off on 2031-09-06 as stated: " in stops[0].text
    assert "after First" in stops[0].text
    assert stops[0].remedies
