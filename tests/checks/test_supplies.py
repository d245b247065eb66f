"""Supplies, CO2 removal and storage: each lack is told with its number; what helps is flown."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import remedies, supplies
from mplan.checks.finding import Finding

CREW = "elements.crew_module.supplies"


@pytest.fixture
def found(reference_landing, landing_plan):
    """A function that changes the crew module's supplies and returns the findings."""

    def of(**stated) -> list[Finding]:
        changes = {f"{CREW}.{key.replace('__', '.')}": x for key, x in stated.items()}
        plan = mplan.fly(reference_landing.change(changes), like=landing_plan)
        return list(supplies.findings(plan.flight))

    return of


def test_the_reference_has_enough(found):
    assert found() == []


@pytest.mark.parametrize(
    ("key", "value", "words", "severity"),
    [
        ("oxygen", "10 kg", "runs short of 9.6 kg of oxygen", "stops the flight"),
        ("potable_water", "1 kg", "of potable water", "stops the flight"),
        ("packed_food", "1 kg", "of packed food", "stops the flight"),
        ("nitrogen_leakage", "2 kg/d", "of nitrogen", "stops the flight"),
        ("hygiene_water", "1 kg", "of hygiene water", "needs a decision"),
        ("faecal_storage", "1 kg", "lacks storage for", "needs a decision"),
        ("urine_and_condensate_storage", "9 kg", "lacks storage for", "needs a decision"),
        ("lioh_canisters", None, "of carbon dioxide in the air", "stops the flight"),
        ("lioh_canisters__count", 3, "of carbon dioxide in the air", "stops the flight"),
    ],
)
def test_each_lack_is_told(found, key, value, words, severity):
    (finding,) = found(**{key: value})
    assert words in finding.text
    assert (finding.severity, finding.subject[0]) == (severity, "crew_module")


def test_canisters_rated_beyond_their_chemistry(found):
    """2 kg of hydroxide take up 1.84 kg of CO2 at best: 44 person-hours."""
    assert found(lioh_canisters__rated="44 h") == []
    (finding,) = found(lioh_canisters__rated="45 h")
    assert "rated for more than it can take up" in finding.text
    assert (finding.limit, finding.found) == ("44.2 person-hours at most", "45.0 person-hours")


def test_equipment_for_fewer_people(found):
    assert found(co2_removal={"name": "swing bed", "crew": 3}) == []
    (finding,) = found(co2_removal={"name": "swing bed", "crew": 2})
    assert finding.text == (
        "the swing bed of the crew module is rated for 2 people, and 3 live there"
    )


CABIN = {"volume": "6.5 m3", "pressure": "34 kPa"}
WALKS = {"count": 2, "duration": "4 h", "crew": 2}
LANDER = "elements.ascent_stage.supplies"


def test_walks_ask_what_the_air_costs_and_whether_they_fit(reference_landing, landing_plan):
    """A cabin without a volume leaves it open; ten walks of 8 h do not fit into two days."""
    enough = {f"{LANDER}.oxygen": "60 kg", f"{LANDER}.potable_water": "90 kg"}
    enough |= {f"{LANDER}.packed_food": "9 kg"}

    def of(**changes: object) -> list[str]:
        stated = {"surface_walks": WALKS, **enough, **changes}
        plan = mplan.fly(reference_landing.change(stated), like=landing_plan)
        return [each.text for each in supplies.findings(plan.flight)]

    assert of() == ["nothing states how much air a walk costs the ascent stage"]
    assert of(**{f"{LANDER}.cabin": CABIN}) == []
    many = {"surface_walks": {**WALKS, "count": 10, "duration": "8 h"}}
    assert "the walks on the Moon last longer than people are awake there" in of(
        **{f"{LANDER}.cabin": CABIN}, **many
    )


def test_what_runs_out_first_is_told_first(found):
    """Oxygen for a day, food for two."""
    texts = [x.text for x in found(oxygen="2.6 kg", packed_food="5 kg", nitrogen_leakage="1 g/d")]
    assert [x.rsplit(" of ", 1)[1].split(",")[0] for x in texts] == [
        "nitrogen",
        "oxygen",
        "packed food",
    ]
    assert all(" after lift-off on" in x for x in texts)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"surface_walks": {**WALKS, "crew": 3}}, "mission.landing_crew is 2; accepted: 2 at most"),
        ({f"{CREW}.airlock": {"volume": "3 m3"}}, "an airlock has its pressure"),
        (
            {
                f"{CREW}.cabin": CABIN,
                f"{CREW}.cabin_oxygen": "1 kg",
            },
            "given together with cabin",
        ),
        ({f"{CREW}.lioh_canisters": {"count": 2, "mass": "2 kg"}}, "or hydroxide"),
        ({f"{CREW}.lioh_canisters.hydroxide": "3 kg"}, "at least the hydroxide in it"),
        ({f"{CREW}.potable_water_tank": "1 kg"}, "at least what is carried at lift-off"),
        ({f"{CREW}.dumped": ["canisters"]}, "dumped"),
        ({"crew_day.sleep": "30 h"}, "from 0 h to 12 h"),
    ],
)
def test_what_does_not_fit_together_is_refused(reference_landing, changes, words):
    with pytest.raises(mplan.ScenarioError) as refused:
        reference_landing.change(changes)
    assert words in str(refused.value)


@pytest.mark.parametrize(
    ("key", "value", "change"),
    [
        ("oxygen", "10 kg", "9.7 kg more oxygen in the crew module"),
        ("lioh_canisters.count", 3, "LiOH canisters in the crew module"),
    ],
)
def test_what_is_carried_in_addition_closes_the_plan(
    reference_landing, landing_plan, key, value, change
):
    """The amount that is proposed is flown, and enough."""
    plan = mplan.fly(reference_landing.change(f"{CREW}.{key}", value), like=landing_plan)
    short = [x for x in plan.findings if x.check == "supplies"]
    (finding,) = remedies.for_findings(plan.flight, tuple(short))
    (remedy,) = finding.remedies
    assert change in remedy.change
    assert remedy.closes
