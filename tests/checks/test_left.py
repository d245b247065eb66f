"""What is left up to each limit: one list, and all who tell it tell the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

import mplan
from mplan.checks import limits
from mplan.scenario.severity import SEVERITIES
from mplan.studies.odds import outcome
from mplan.studies.sensitivities import rooms as of_sensitivities
from mplan.studies.sizing import rooms as of_sizing


@pytest.fixture(scope="module")
def listed(landing_plan):
    return limits.left.of(landing_plan.flight)


def test_names_are_their_own(listed):
    """Whoever keeps them by name loses none."""
    assert len({x.name for x in listed}) == len(listed)


def test_sensitivities_sizing_and_odds_agree(listed, landing_plan):
    """Words, units, order and amounts: each tells a part of the one list."""
    flight = landing_plan.flight
    left = {x.name: (x.left, x.unit) for x in listed}
    felt = {name: (x.left, x.unit) for name, x in of_sensitivities.of(flight).items()}
    held = {name: (x.left, x.unit) for name, x in of_sizing.of(landing_plan).items()}
    held = {name: x for name, x in held.items() if not name.startswith("margin after ")}
    drawn = {x.name: (x.left, x.unit) for x in outcome.limits(flight)}
    for told in (felt, held, drawn):
        assert told
        assert list(told.items()) == [each for each in left.items() if each[0] in told]
    assert held == left  # the plan closes: all count
    counted = {x.name for x in listed if x.kind in of_sensitivities.COUNTED}
    assert left.keys() - felt.keys() == counted
    figures = outcome.figures_of(flight)
    assert all(figures[outcome.limit_named(x)] == x.left for x in outcome.limits(flight))


def test_odds_tell_limits_of_checks_that_they_ask(listed, landing_plan):
    """A limit whose check a mission is not asked is left out: its check would not stop it."""
    asked = {x.check for x in outcome.limits(landing_plan.flight)}
    as_in_plan = {module.__name__.rpartition(".")[2] for module in outcome.AS_IN_PLAN}
    assert not asked & as_in_plan
    assert {x.check for x in listed} - asked == set(outcome.NOT_ASKED) <= as_in_plan


BEYOND = [  # key, value, what of the list is then beyond its limit
    ("mission.longest_duration", "5 d", "mission, lift-off to splashdown"),
    ("launch_site.pad.platform_load", "2000 t", "launch site, launch platform, lift-off mass"),
    ("climb.pressure_limit", "10 kPa", "climb, dynamic pressure"),
    ("descent.reserve_time", "200 s", "landing, hover left beyond the reserve"),
    ("descent.touchdown_limit", "0.3 m/s", "landing, speed at touchdown"),
    ("elements.crew_module.aeroshell.acceleration_limit", 3.0, "entry, load on the crew"),
    ("elements.crew_module.aeroshell.rated_heat_load", "10 MJ/m2",
     "entry, heat load at its upper end"),
    ("elements.crew_module.parachutes.touchdown_limit", "1 m/s", "entry, speed at touchdown"),
    ("elements.service_module.engines.main.starts", 4, "starts, "),
    ("elements.descent_stage.engines.main.qualified_duration", "100 s", "burn time, "),
]  # fmt: skip


@pytest.mark.parametrize(("key", "value", "name"), BEYOND, ids=[x[0] for x in BEYOND])
def test_beyond_is_what_the_check_finds(landing_plan, key, value, name):
    """Negative where its check speaks, as gravely, and by as much as the finding's own numbers."""
    plan = mplan.fly(landing_plan.scenario.change(key, value), like=landing_plan)
    beyond = [x for x in limits.left.of(plan.flight) if x.left < 0.0 and x.name.startswith(name)]
    (each,) = beyond
    found = [x for x in plan.findings if x.check == each.check and x.figures.measure]
    near = [x for x in found if x.figures.measure.left == pytest.approx(each.left, rel=0.05)]
    assert near, (each, [x.figures for x in found])
    (finding,) = near
    assert (finding.judged or finding.severity) == each.severity
    assert finding.event in each.names or not each.names
    assert finding.figures.measure.unit == each.unit


def test_a_flight_that_ends_has_no_landing(landing_plan):
    """Nothing is told of what was not flown."""
    heavy = landing_plan.scenario.change("elements.crew_module.dry_mass", "200 t")
    flight = mplan.fly(heavy, like=landing_plan).flight
    assert flight.ended
    told = {x.check for x in limits.left.of(flight)}
    assert not told & {"landing", "entry", "thrusters", "supplies", "duration"}
    assert "pad" in told


def test_sizing_counts_what_the_scenario_counts(landing_plan):
    """What is for information is no limit of a size; a decision is one, unless it is accepted."""
    least = SEVERITIES[2]
    lowered = landing_plan.scenario.change("severity", {"pad": least})
    flight = replace(landing_plan.flight, scenario=lowered)
    names = of_sizing.of(mplan.Plan(flight, ()))
    assert not [x for x in names if x.startswith(limits.left.LAUNCH_SITE)]
    assert "climb, acceleration" in names
    assert "climb, acceleration" not in of_sizing.of(landing_plan, gravest=0)
