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
