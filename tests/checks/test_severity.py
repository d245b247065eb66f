"""How grave findings are, what the verdict says of decisions, and what comes down where."""

from __future__ import annotations

import pytest

import mplan
from mplan.cli import main
from mplan.physics.bodies import land

EAST_OF_ASIA = {"launch_site.longitude": "110 deg", "launch_site.latitude": "25 deg"}


@pytest.fixture(scope="module")
def inland(reference_landing) -> mplan.Plan:
    """The reference landing from the middle of a continent."""
    return mplan.fly(reference_landing.change({"launch_site.longitude": "130 deg"}))


def stages(plan: mplan.Plan) -> dict[str, str]:
    return {x.event: x.severity for x in plan.findings if x.check == "impact"}


def test_a_stage_on_land_is_a_decision(inland):
    """The first stage falls into the country it is launched over."""
    assert stages(inland)["first_stage"] == "needs a decision"
    text = next(x.text for x in inland.findings if x.event == "first_stage" and x.check == "impact")
    assert "comes down on land" in text
    basis = next(x.basis for x in inland.findings if x.event == "first_stage" and x.rank == 1)
    assert land.RESOLUTION in basis
    assert "range authority" in basis


def test_the_verdict_counts_open_decisions(inland):
    """It closes, and says in its first line that something is to be decided."""
    count = sum(x.severity == "needs a decision" for x in inland.findings)
    assert inland.closes
    assert inland.decisions_open == count > 1
    assert f"closes, {count} decisions open: home after" in inland.verdict


def test_one_decision_is_one(inland):
    settled = inland.scenario.change("severity", {"impact": {"first_stage": "for information"}})
    plan = mplan.fly(settled, like=inland)
    assert plan.decisions_open == inland.decisions_open - 1
    found = next(x for x in plan.findings if x.event == "first_stage" and x.check == "impact")
    assert found.severity == "for information"
    assert found.basis.endswith('[severity] sets "for information" instead of "needs a decision"')


def test_a_whole_check_is_lowered_or_raised(inland):
    for word, rank in (("for information", 2), ("stops the flight", 0)):
        plan = mplan.fly(inland.scenario.change("severity.impact", word), like=inland)
        assert {x.rank for x in plan.findings if x.check == "impact"} == {rank}
        assert plan.closes is (rank > 0)


def test_what_never_flew_does_not_close_by_decree(reference_landing):
    """A fault in the order of events may be called information; nothing is flown all the same."""
    events = [x for x in reference_landing.events_as_written() if x["do"] != "stay"]
    named = {"events": events, "severity": {"sequence": "for information"}}
    plan = mplan.fly(reference_landing.change(named))
    assert not plan.closes
    assert "there is no stay at the Moon" in plan.verdict


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ({"ligth": "for information"}, 'severity.ligth: unknown name; did you mean "light"'),
        ({"light": "harmless"}, 'severity.light: found "harmless"; accepted: "stops the flight"'),
        ({"light": {"landing": 3}}, "severity.light: found 3; accepted"),
        ({"light": ["x"]}, "severity.light: found a list; accepted"),
    ],
)
def test_what_is_refused(reference_landing, value, text):
    with pytest.raises(mplan.ScenarioError, match=text):
        reference_landing.change("severity", value)


def test_a_capsule_for_water_on_land(landing_plan):
    """The splash is moved ashore by the site of the recovery alone: what it is made for decides."""
    made_for_land = landing_plan.scenario.change(
        {"elements.crew_module.parachutes.surface": "land"}
    )
    plan = mplan.fly(made_for_land, like=landing_plan)
    (found,) = [x for x in plan.findings if x.check == "recovery"]
    assert found.severity == "needs a decision"
    assert "comes down at sea" in found.text
    assert not any(x.check == "recovery" for x in landing_plan.findings)


def test_no_escape_is_a_decision(landing_plan):
    bare = landing_plan.scenario.change({"elements.escape_tower.escape": None})
    plan = mplan.fly(bare, like=landing_plan)
    (found,) = [x for x in plan.findings if x.check == "escape"]
    assert found.severity == "needs a decision"
    assert "nothing takes the crew off the stack" in found.text


def test_exit_codes(tmp_path, capsys):
    """0 with nothing to decide, 1 with decisions open, 0 again where they are accepted."""
    demo = "scenarios/first_landing.toml"
    assert main(["brief", demo]) == 0
    warm = ["brief", demo, "--with", 'landing_site.sun_max="1 deg"', "--with"]
    warm += ['landing_site.sun_min="0 deg"']
    assert main(warm) == 1
    assert "closes, 1 decision open" in capsys.readouterr().out
    assert main([*warm, "--accept-decisions"]) == 0
