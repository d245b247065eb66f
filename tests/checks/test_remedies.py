"""Remedies are flights: what is said of them is what flying them gives."""

from __future__ import annotations

import pytest

import mplan
from mplan.vehicle import resize
from mplan.vehicle.stack import on_pad


def flown(scenario: mplan.Scenario, **changes: object) -> mplan.Plan:
    changed = {key.replace("__", "."): value for key, value in changes.items()}
    return mplan.fly(scenario.change(changed), remedies=True)


def test_a_shorter_stage_lacks_delta_v(overheight):
    """Each stage shortened to pass under the limit was flown, and each lacks delta-v."""
    finding = overheight.findings[0]
    assert finding.text == "the stack is 2.8 m too tall for the assembly-hall door"
    assert {x.change for x in finding.remedies} == {
        "first stage 2.80 m shorter",
        "second stage 2.80 m shorter",
        "transfer stage 2.80 m shorter",
    }
    assert not any(x.closes for x in finding.remedies)
    assert all("translunar injection lacks" in x.outcome for x in finding.remedies)


def test_what_is_said_is_what_flying_gives(overheight):
    """The shortened stage flown by hand lacks just what the remedy says."""
    scenario = overheight.scenario
    over = on_pad(scenario).height - scenario.launch_site.pad.door_height
    by_hand = mplan.fly(resize.shortened(scenario, "second_stage", over), like=overheight)
    said = next(x for x in overheight.findings[0].remedies if x.change.startswith("second"))
    assert by_hand.findings[0].text in said.outcome


def test_more_propellant_closes_a_short_burn(reference_landing):
    """The least propellant that pays for the burn is found, and its cost on the pad told."""
    plan = flown(
        reference_landing,
        elements__descent_stage__tanks__MMH__load="2.9 t",
        elements__descent_stage__tanks__NTO__load="5.22 t",
    )
    more = next(
        x for x in plan.findings[0].remedies if "more propellant in the descent stage" in x.change
    )
    assert more.closes
    assert "lift-off mass +0." in more.outcome


def test_an_engine_with_more_starts(reference_landing):
    """The engine that is qualified for as many starts as are flown closes the plan."""
    plan = flown(reference_landing, elements__service_module__engines__main__starts=4)
    remedy = plan.findings[0].remedies[0]
    assert (remedy.change, remedy.closes) == ("an engine qualified for 5 starts", True)


def test_a_shorter_stay(reference_landing):
    """Too long a mission is offered the stay that fits."""
    plan = flown(reference_landing, mission__longest_duration="8.5 d")
    remedy = plan.findings[0].remedies[0]
    assert remedy.change.startswith("a stay of ")
    assert remedy.closes
    assert "mission -0." in remedy.outcome


def test_none_are_flown_unless_asked(reference_landing):
    """The slider path does without remedies."""
    plan = mplan.fly(reference_landing.change("mission.longest_duration", "8 d"))
    assert plan.findings[0].remedies == ()


def test_findings_that_stop_nothing_need_none(reference_landing):
    """Only what stops the flight is given remedies."""
    plan = flown(reference_landing, elements__first_stage__engines__lift__count=5)
    assert {x.remedies for x in plan.findings if x.rank > 0} == {()}


def test_resizing_an_element_without_propellant(reference_landing):
    """A stage that holds none cannot be shortened by it."""
    with pytest.raises(ZeroDivisionError, match="division"):
        resize.length_per_kilogram(reference_landing.elements["lander_bay"])
