"""How grave findings are, what the verdict says of decisions, and what comes down where."""

from __future__ import annotations

import re
from math import pi, radians

import numpy as np
import pytest

import mplan
from mplan.checks import impact
from mplan.cli import main
from mplan.physics.bodies import land
from mplan.physics.bodies.downrange import ground_distance
from mplan.physics.climb.impact import Ellipse, Falling, Footprint, Impact, outline
from mplan.physics.constants import R_EARTH


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


def test_a_lowered_stop_stands_in_the_verdict(landing_plan):
    """A crew without oxygen may be called information; the first line says so."""
    short = {"elements.crew_module.supplies.oxygen": "10 kg"}
    plan = mplan.fly(landing_plan.scenario.change(short), like=landing_plan)
    stops = [x for x in plan.findings if x.rank == 0]
    assert stops
    words = {"severity": {x.check: "for information" for x in stops}}
    lowered = mplan.fly(plan.scenario.change(words), like=plan)
    assert lowered.closes
    assert lowered.stops_lowered == len(stops)
    assert re.search(r"closes, \d+ stops? lowered by the scenario[:,]", lowered.verdict)
    assert "; lowered by the scenario: [severity] sets " in "".join(
        x.basis for x in lowered.findings
    )


def test_a_misspelt_element_is_pointed_out(inland):
    """What was to be accepted stays open, and the names that there are stand beside it."""
    settled = {"severity": {"impact": {"frist_stage": "for information"}}}
    plan = mplan.fly(inland.scenario.change(settled), like=inland)
    assert plan.decisions_open == inland.decisions_open
    told = next(x for x in plan.findings if x.event == "frist_stage")
    assert (told.severity, told.check) == ("for information", "impact")
    assert '"first_stage"' in told.limit


def test_an_element_without_a_finding_is_no_mistake(landing_plan):
    settled = landing_plan.scenario.change("severity.control", {"crew_module": "for information"})
    assert len(mplan.fly(settled, like=landing_plan).findings) == len(landing_plan.findings)


def test_a_landing_in_the_dark_that_the_limits_allow(landing_plan):
    """Limits may reach below the horizon: the crew sees the ground no better for it."""
    dark = {"dates.launch_day": "2031-05-15", "landing_site.sun_min": "-90 deg"}
    plan = mplan.fly(landing_plan.scenario.change(dark), like=landing_plan)
    (found,) = [x for x in plan.findings if x.check == "light"]
    assert found.severity == "needs a decision"
    assert "below the horizon" in found.text
    assert found.limit == "elevation of 0 deg or more"


@pytest.mark.parametrize("axes", [(9e3, 4e3), (64e3, 27e3), (500e3, 60e3)])
def test_an_island_between_the_places_looked_at(reference_landing, axes):
    """Nothing as wide as a cell of the mask is passed over within an ellipse, small or long."""
    site = reference_landing.launch_site
    range_ = 5000e3 / R_EARTH
    asked = []

    def looked(latitudes, longitudes, distance):
        asked.extend((*each, distance) for each in zip(latitudes, longitudes, strict=True))
        return np.zeros(len(latitudes), dtype=bool)

    fall = Impact("x", 1000.0, site.latitude, range_, range_)
    found = Footprint(Falling("x", 0.0, (), 1.0), fall, Ellipse(*axes, 1.1), 50.0)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(impact, "_open_sea", lambda *asked: False)
        patch.setattr(land, "near_land", looked)
        impact._reaches_land(found, site.longitude)
    for share in (0.0, 0.37, 0.71, 1.0):
        for point in outline(found, 40, share):
            here = impact._place(point, site.longitude)
            assert min(ground_distance(here, (a, b)) for a, b, _ in asked) < asked[0][2]


def test_an_ellipse_reaches_land_before_its_middle_does(reference_landing):
    """A fall 100 km off a long coast is a decision by its ellipse, and none by a small one."""
    coast = 0.0, radians(9.3)  # west of a continent that begins there
    pad = reference_landing.launch_site.longitude
    east = coast[1] - 100e3 / R_EARTH - pad
    fall = Impact("x", 1000.0, coast[0], east, 1.0)
    falling = Falling("x", 0.0, (), 1.0)
    for axes, near in (((150e3, 40e3), True), ((30e3, 10e3), False)):
        found = Footprint(falling, fall, Ellipse(*axes, pi / 2.0), 50.0)
        assert impact._reaches_land(found, pad) == near
