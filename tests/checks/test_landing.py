"""Findings on descent, aborts and ascent: each names its limit, and the demo has none."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import mplan
from mplan.checks import landing

MISSIONS = Path(__file__).parents[1] / "missions"


def found(scenario: mplan.Scenario, **changes: object):
    """Findings of this check alone on the scenario with changes, keys with __ for dots."""
    changed = {key.replace("__", "."): value for key, value in changes.items()}
    return list(landing.findings(mplan.fly(scenario.change(changed)).flight))


def with_descent(plan: mplan.Plan, **changes: object):
    """Findings on the demo's flight with another descent behind it."""
    flight, end = plan.flight, plan.flight.end
    other = replace(end, descent=replace(end.descent, **changes))
    passages = flight.passages
    changed = (*passages[:-1], replace(passages[-1], after=other))
    return list(landing.findings(replace(flight, passages=changed)))


def test_the_demo_has_none(landing_plan):
    """A landing within its limits is silent."""
    assert list(landing.findings(landing_plan.flight)) == []


def test_no_landing_no_findings(orbital_plan):
    """A mission without a powered descent is not asked."""
    assert list(landing.findings(orbital_plan.flight)) == []


def test_too_low_an_orbit_over_the_site(reference_landing):
    """A descent perilune too near the ground of the site names margin and heights."""
    finding = found(
        reference_landing, orbits__descent_perilune="12 km", landing_site__elevation="8 km"
    )
    texts = [x.text for x in finding if x.basis == "descent.terrain_margin"]
    assert texts == [
        "the descent perilune lies 4.0 km over the ground at the site: "
        "less than descent.terrain_margin"
    ]


def test_running_dry_on_the_way_down(reference_landing):
    """Where and when the tanks are empty is told."""
    dry = found(
        reference_landing,
        elements__descent_stage__tanks__MMH__load="2.6 t",
        elements__descent_stage__tanks__NTO__load="4.68 t",
    )
    finding = next(x for x in dry if x.basis == "usable propellant")
    assert finding.severity == "stops the flight"
    assert finding.text.startswith("the descent stage runs out of propellant ")
    assert finding.text.endswith(" m above the site")


def test_too_few_seconds_left(reference_landing):
    """Seconds of hover at touchdown are held against the scenario's reserve."""
    finding = next(
        x
        for x in found(reference_landing, descent__reserve_time="90 s")
        if x.basis == "descent.reserve_time"
    )
    assert finding.limit == "90 s at least"
    assert "s more: less than descent.reserve_time" in finding.text


def test_too_hard_a_touchdown(reference_landing):
    """A touchdown faster than the legs take stops the flight."""
    hard = found(
        reference_landing, descent__touchdown_speed="2 m/s", descent__touchdown_limit="1.5 m/s"
    )
    assert [x.text for x in hard] == [
        "the lander touches down at 2.0 m/s: above the limit of its landing gear"
    ]


def test_a_missed_site_and_a_ground_met(landing_plan):
    """Either is told with the seconds at a limit of the thrust."""
    missed = with_descent(landing_plan, miss=240.0, at_limit=12.0)
    assert [x.text for x in missed] == [
        "the descent misses its site by 240 m: guidance asks for thrust beyond the engine's "
        "limits for 12 s"
    ]
    met = with_descent(landing_plan, lowest=-20.0, at_limit=12.0)
    assert [x.found for x in met] == ["-20 m above the site"]


def test_a_site_out_of_sight(reference_landing):
    """A window that ends too high hides the site."""
    hidden = found(reference_landing, descent__window_edge="30 deg")
    assert [(x.severity, x.found) for x in hidden] == [("needs a decision", "0 % of the approach")]
    assert "below the edge of their window, 30 deg below the forward axis" in hidden[0].text


def test_no_way_back(reference_landing):
    """An ascent engine too weak to stop a fall near the ground asks for a decision."""
    weak = found(reference_landing, elements__ascent_stage__engines__main__thrust_vacuum="11 kN")
    finding = next(x for x in weak if "return the crew to orbit" in x.text)
    assert finding.severity == "needs a decision"
    assert "the ascent stage cannot return the crew to orbit" in finding.text


def test_a_dear_turn_of_the_ascents_plane(reference_landing):
    """What the turn costs is held against the scenario's limit."""
    dear = found(reference_landing, lunar_ascent__plane_limit="10 m/s")
    assert [x.basis for x in dear] == ["lunar_ascent.plane_limit"]
    assert "the turn into the ship's plane costs the ascent" in dear[0].text


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("descent.high_gate_altitude", "20 km", 'found "20 km", too large'),
        ("descent.hover_time", "15", 'found "15", a bare number'),
        ("descent.low_gate_speed", "5 km", 'found "5 km", of another dimension'),
        ("descent.high_gate", "2 km", "unknown"),
        ("lunar_ascent.plane", "ignored", '"flown out"'),
        ("lunar_ascent.after_pass", "2 h", "too large"),
    ],
)
def test_keys_that_do_not_do(reference_landing, key, value, text):
    """Bad values are told with key and what is accepted."""
    with pytest.raises(mplan.ScenarioError, match=key.replace(".", r"\.")) as caught:
        reference_landing.change(key, value)
    assert text in str(caught.value)


@pytest.mark.parametrize("key", ["descent.hover_time", "lunar_ascent.vertical_rise_time"])
def test_tables_of_a_landing_on_a_mission_without_one(key):
    """They are refused, with the profile that has no use for them."""
    orbit = mplan.load(MISSIONS / "orbit_and_return.toml")
    with pytest.raises(mplan.ScenarioError, match=r"not used by the profile .*does not land"):
        orbit.change(key, "20 s")
