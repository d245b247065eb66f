"""Findings on thrusters' propellant: not counted, run dry, reserve drawn on, never drawn."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks.remedies.kinds import thrusters as kind
from mplan.checks.remedies.trials import Trials
from mplan.scenario import ScenarioError
from mplan.show import gist, tables

LOAD = "elements.ascent_stage.tanks.thruster_fuel.load"


def findings(plan):
    return [finding for finding in plan.findings if finding.check == "thrusters"]


@pytest.fixture(scope="module")
def short(reference_landing, landing_plan):
    """The lander with a tank that pays for everything and for part of the reserve."""
    values = {"thruster_budget": {}, LOAD: "120 kg"}
    return mplan.fly(reference_landing.change(values), like=landing_plan)


def test_what_is_not_counted_is_said(any_plan):
    """Of the lowest grade, in every profile."""
    (found,) = findings(any_plan)
    assert found.severity == "for information"
    assert found.text.startswith("attitude propellant is not counted: ")
    assert tables.thrusters(any_plan).empty


def test_a_budget_that_is_kept_says_nothing(any_plan):
    """No finding, a line for each craft."""
    plan = mplan.fly(any_plan.scenario.change("thruster_budget", {}), like=any_plan)
    assert findings(plan) == []
    lines = [line for line in gist.lines(plan) if line.startswith("thrusters, ")]
    assert {"service module", "crew module", "transfer stage"} <= {
        line.partition(":")[0].removeprefix("thrusters, ") for line in lines
    }
    assert "estimate, from inertia and [thruster_budget]" in set(tables.thrusters(plan)["basis"])


def test_a_reserve_that_is_drawn_on_stops_the_flight(short):
    """It says how much lacks, and that margins of burns are kept in the same tanks."""
    (found,) = findings(short)
    assert found.severity == "stops the flight"
    assert found.subject == ("ascent_stage", "thrusters")
    assert found.text.startswith("thrusters of the ascent stage lack ")
    assert found.text.endswith(
        "of reserve, beside what the margins of burns keep in the same tanks"
    )
    assert not short.closes


def test_the_remedy_is_propellant_for_the_thrusters(short):
    """The least that helps: flown, nothing is found any more; six kilograms less, and it is."""
    (found,) = findings(short)
    (proposal,) = kind.proposals(found, short.flight, Trials())
    assert "more for the thrusters of the ascent stage" in proposal.change
    mended = mplan.fly(proposal.of(short.scenario), like=short)
    assert findings(mended) == []
    load = mended.scenario.elements["ascent_stage"].tanks["thruster_fuel"].load
    less = mplan.fly(mended.scenario.change(LOAD, f"{load - 6.0} kg"), like=short)
    assert len(findings(less)) == 1


def test_tanks_that_run_dry_stop_the_flight(reference_landing, landing_plan):
    """With the item and the phase at which they do."""
    values = {"phases": {"descent": {"stated": {"turns": "400 kg"}}}}
    plan = mplan.fly(reference_landing.change("thruster_budget", values), like=landing_plan)
    (found,) = findings(plan)
    assert found.severity == "stops the flight"
    assert found.text.endswith("their tanks are dry at turns in the phase descent")


def test_a_reserve_by_element_takes_the_place_of_the_share(short):
    """Ten kilograms are there."""
    values = {"thruster_budget": {"reserves": {"ascent_stage": "10 kg"}}}
    assert findings(mplan.fly(short.scenario.change(values), like=short)) == []


def test_an_amount_for_a_phase_that_is_not_flown_is_told(flyby_plan):
    """It would be thought of as drawn."""
    values = {"phases": {"descent": {"stated": {"turns": "4 kg"}}}}
    plan = mplan.fly(flyby_plan.scenario.change("thruster_budget", values), like=flyby_plan)
    (found,) = findings(plan)
    assert found.severity == "for information"
    assert found.text.startswith("4.0 kg stated for turns are never drawn")


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"reserves": {"lander_bay": "1 kg"}}, 'found "lander_bay", which has no thrusters'),
        ({"phases": {"landing": {}}}, "landing"),
        ({"phases": {"descent": {"stated": {"rest": "1 kg"}}}}, "rest"),
        ({"turn_rate": "2"}, "a bare number"),
        ({"turns_a_day": -1}, "turns_a_day"),
        ({"attitude": "solar"}, "solar"),
        ({"deadband": "0 deg"}, "too small"),
    ],
)
def test_bad_input_is_told(reference_landing, values, said):
    """Each with the key and what is accepted."""
    with pytest.raises(ScenarioError, match=said) as caught:
        reference_landing.change("thruster_budget", values)
    assert "thruster_budget" in str(caught.value)
