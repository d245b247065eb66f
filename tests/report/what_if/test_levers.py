"""What a reader can set: values of the profile, each at stops around the plan's own."""

from __future__ import annotations

import pytest

import mplan
from mplan.report import what_if
from mplan.report.what_if import combinations, levers
from tests.conftest import MISSIONS


@pytest.fixture(scope="module")
def settings(landing_plan):
    return combinations.chosen(landing_plan)


def test_a_landing_has_five_levers(settings):
    """Departure day, time to the Moon, stay, payload and the load of one stage."""
    titles = [lever.title for lever in settings.levers]
    assert titles[:4] == ["launch day", "time to the Moon", "surface stay", "payload down"]
    assert titles[4].startswith("load of ")


def test_levers_follow_the_profile(flyby_plan):
    """A flyby has no stay and no payload; its altitude can be set instead."""
    titles = [lever.title for lever in levers.of(flyby_plan, 3)]
    assert "flyby altitude" in titles
    assert not [x for x in titles if "stay" in x or "payload" in x]


def test_the_plan_is_one_of_the_stops(any_plan):
    """At its stop `home` a lever says what the plan's own scenario has."""
    for lever in levers.of(any_plan, 3):
        changed = any_plan.scenario.change(dict(lever.stops[lever.home].changes))
        assert changed.hash == any_plan.scenario.hash or "launch" in lever.title
        assert len({stop.told for stop in lever.stops}) == len(lever.stops) > 1


def test_the_load_is_that_of_the_tightest_stage(landing_plan):
    """The lever names the stage with the least margin, and moves its tanks and what they weigh."""
    lever = levers.of(landing_plan, 2)[-1]
    tight = landing_plan.tightest
    assert tight.name in lever.note
    before = landing_plan.scenario.elements[tight.element]
    after = landing_plan.scenario.change(dict(lever.stops[-1].changes)).elements[tight.element]
    assert all(after.tanks[x].load >= before.tanks[x].load for x in before.tanks)
    assert after.dry_mass > before.dry_mass


def test_a_payload_beyond_the_slider_has_stops(landing_plan):
    """A value above a panel's range gets stops on both sides, a share of it apart."""
    heavy = landing_plan.scenario.change("mission.payload_down", "14300 kg")
    lever = next(x for x in levers.of(mplan.fly(heavy), 3) if "payload" in x.title)
    assert lever.stops[lever.home].told == "14300 kg"
    assert 0 < lever.home < len(lever.stops) - 1


@pytest.mark.parametrize(("room", "count", "spread"), [(3, 1, [2]), (4, 2, [2, 4]), (1, 2, [1])])
def test_levels_lie_within_the_stops(room, count, spread):
    stops = tuple(levers.LeverStop(str(i), {}) for i in range(room + 1))
    assert levers.Lever("any", stops, 0).levels(count) == spread
    assert levers.Lever("any", stops, room).levels(count) == sorted(room - x for x in spread)


@pytest.mark.parametrize("most", [1, 20, 70, 250])
def test_no_more_flights_than_asked(landing_plan, most):
    """Each lever alone at every stop, two at once as far as the number allows, none twice."""
    found = combinations.chosen(landing_plan, most)
    assert len(found.flown) == len(set(found.flown)) <= most
    alone = [k for k in found.flown if sum(x != y for x, y in zip(k, found.home, strict=True)) == 1]
    assert len(alone) == sum(len(lever.stops) - 1 for lever in found.levers)
    assert found.home not in found.flown


def test_by_default_two_at_once_are_flown(settings):
    """All pairs of levers, each of both at two stops."""
    two = len(settings.flown) - sum(len(lever.stops) - 1 for lever in settings.levers)
    pairs = [(i, j) for i in range(5) for j in range(i)]
    levels = [len(lever.levels(1)) for lever in settings.levers]
    assert two == sum(levels[i] * levels[j] for i, j in pairs)
    assert min(len(lever.stops) for lever in settings.levers) >= 5


def test_nothing_flown_nothing_to_set():
    """A flight that its order of events keeps on the ground has no what-if."""
    scenario = mplan.load(MISSIONS / "single_flyby.toml")
    faulty = scenario.change("events", scenario.events_as_written()[1:])
    plan = mplan.fly(faulty)
    assert plan.flight.faults
    assert what_if.fly(plan) is None
