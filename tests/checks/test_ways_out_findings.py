"""Gaps in the ways out as findings: decisions, unless the scenario says otherwise; and remedies."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mplan import checks
from mplan.checks.ways_out import findings, mending, remedied
from mplan.checks.ways_out.changes import proposals
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.coverage import WaysCoverage, WaysGap
from mplan.contingencies.ways_out.failures import FAILURES
from mplan.contingencies.ways_out.glance import seen_closed
from mplan.contingencies.ways_out.looks import CLOSED, WayLeft, WaysLook
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut
from mplan.physics.constants import HOUR
from mplan.plan import with_ways_out

SHIP = "crew_module"


@pytest.fixture
def gap(landing_plan) -> WaysGap:
    """A gap on the way to the Moon whose nearest way lacks 30 m/s of the ship's thrusters."""
    elements = landing_plan.scenario.elements
    name, engine = next(
        (name, key)
        for name, each in elements.items()
        if each.role == "service module"
        for key, x in each.engines.items()
        if x.purpose == "thrusters"
    )
    burn = WayBurn("trim", name, engine, 30 * HOUR, 130.0, 100.0)
    way = WayOut("round the Moon", 29 * HOUR, (name, SHIP), (burn,), closed="lacks 30 m/s")
    return WaysGap(SHIP, ("main engine lost",), 20 * HOUR, 40 * HOUR, "lacks 30 m/s", way)


def test_a_gap_is_a_decision(landing_plan, gap):
    (found,) = findings((gap,), landing_plan.scenario)
    assert found.severity == "needs a decision"
    assert found.text == (
        "no way out of crew module with the main engine lost from 20:00 to 40:00: lacks 30 m/s"
    )
    plan = with_ways_out(landing_plan, (found,))
    assert plan.decisions_open == landing_plan.decisions_open + 1
    assert "1 decision open" in plan.verdict or landing_plan.decisions_open


@pytest.mark.parametrize("by", ["", SHIP, "main engine lost"])
def test_a_gap_may_be_accepted(landing_plan, gap, by):
    """As a whole, by the cabin, or by the failure; nothing is called misspelt for it."""
    word = "for information"
    changed = landing_plan.scenario.change("severity", {"ways out": {by: word} if by else word})
    accepted = replace(landing_plan, flight=replace(landing_plan.flight, scenario=changed))
    plan = with_ways_out(accepted, findings((gap,), changed))
    assert plan.decisions_open == landing_plan.decisions_open
    assert not [x for x in checks.of(accepted.flight) if "no finding is about it" in x.text]


def test_what_is_accepted_of_one_failure_stays_open_of_another(landing_plan, gap):
    """A gap of two failures is two findings where the scenario sets them differently."""
    both = gap._replace(failures=("main engine lost", "half the power lost"))
    key, word = "severity", "for information"
    changed = landing_plan.scenario.change(key, {"ways out": {"main engine lost": word}})
    found = {each.subject: each.severity for each in findings((both,), changed)}
    assert found == {("main engine lost",): word, ("half the power lost",): "needs a decision"}


def test_no_gap_no_finding(landing_plan, gap):
    """What was found before of ways out gives way to what is found now."""
    assert list(findings((), landing_plan.scenario)) == []
    before = with_ways_out(landing_plan, findings((gap,), landing_plan.scenario))
    assert with_ways_out(before, ()).findings == landing_plan.findings


def test_a_glance_tells_when_it_looked(landing_plan, gap):
    """What one look sees closed is a gap at its time, failures of one reason together."""
    shut = {x: WayLeft(CLOSED, None, "lacks 30 m/s") for x in FAILURES[:2]}
    seen = shut | {x: WayLeft("open", gap.nearest) for x in FAILURES[2:]}
    (found,) = findings(seen_closed([WaysLook(SHIP, 20 * HOUR, seen)]), landing_plan.scenario)
    assert found.subject == FAILURES[:2]
    assert found.text == (
        "no way out of crew module with the main engine lost or one engine lost at 20:00: "
        "lacks 30 m/s"
    )


def test_what_is_proposed_fits_the_gap(landing_plan, gap):
    """More of what lacks, the lander kept, other arcs and orbits, a shorter stay: each accepted."""
    found = [each.change for each in proposals(gap, landing_plan.flight)]
    assert "more propellant in the service module" in found[0]  # of thrusters that share its tanks
    assert any("kept until after the burn home" in each for each in found)
    assert any(each.endswith("to the Moon") for each in found)
    power = gap._replace(failures=("half the power lost",))
    assert any("more stored in" in x.change for x in proposals(power, landing_plan.flight))


def test_remedies_are_flown_with_the_gap_looked_at_again(landing_plan, gap, monkeypatch):
    """More propellant for the thrusters opens the way: what it leaves and what it costs is told."""
    lacking = gap.nearest.burns[0]
    flight = landing_plan.flight
    before = sum(x.load for x in flight.scenario.elements[lacking.element].tanks.values())

    def ways(point, failure):
        tanks = point.flight.scenario.elements[lacking.element].tanks.values()
        shut = "" if sum(x.load for x in tanks) > before + 1.0 else "lacks 30 m/s"
        yield replace(gap.nearest, called=point.elapsed, home=point.elapsed + HOUR, closed=shut)

    monkeypatch.setattr(every, "BY_STRETCH", {"to the Moon": ways})
    monkeypatch.setattr(mending, "MOST_CHANGES", 2)
    told = []
    coverage = WaysCoverage((), (gap,), 1)
    (found,) = remedied(flight, coverage, done=lambda done, total: told.append((done, total)))
    assert told == [(1, 2), (2, 2)]
    (remedy,) = found.remedies
    assert "more propellant in the service module" in remedy.change
    assert remedy.outcome.startswith("closes the gap of ")
    assert remedy.lift_off > 0.0
    monkeypatch.setattr(mending, "MOST_CHANGES", 0)
    (none,) = remedied(flight, coverage)
    assert none.remedies == ()
    assert "no change of the scenario is known" in none.unsolved
    (stopped,) = remedied(flight, coverage, stopped=lambda: True)
    assert stopped.remedies == ()
