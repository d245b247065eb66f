"""The cause of a finding is told first, and what follows from it is marked."""

from __future__ import annotations

import mplan

DRY = "elements.service_module.tanks"


def flown(scenario: mplan.Scenario, changes: dict[str, object]) -> mplan.Plan:
    return mplan.fly(scenario.change(changes))


def told(plan: mplan.Plan, check: str) -> list[mplan.checks.Finding]:
    return [x for x in plan.findings if x.check == check and x.rank < 2]


def test_a_dry_tank_is_told_once(reference_landing):
    """Every burn after the one that empties the tanks follows from it; so does a rescue."""
    tanks = {f"{DRY}.MMH.load": "4.1 t", f"{DRY}.NTO.load": "6.765 t"}
    plan = flown(reference_landing, tanks)
    first, *later = told(plan, "delta-v")
    assert first.cause == ""
    assert first.text.startswith("trans-Earth injection lacks ")
    assert [x.event for x in later] == ["homeward correction"]
    (rescue,) = told(plan, "rescue")
    assert {x.cause for x in (*later, rescue)} == {first.text}


def test_another_tank_is_another_cause(reference_landing):
    """A lack in tanks of its own follows from nothing."""
    changes = {
        f"{DRY}.MMH.load": "4.1 t",
        f"{DRY}.NTO.load": "6.765 t",
        "elements.descent_stage.tanks.MMH.load": "2.8 t",
        "elements.descent_stage.tanks.NTO.load": "5.04 t",
    }
    plan = flown(reference_landing, changes)
    causes = [x.event for x in told(plan, "delta-v") if not x.cause]
    assert causes == ["powered descent", "trans-Earth injection"]
    (landing,) = told(plan, "landing")
    assert landing.cause.startswith("powered descent lacks ")


def test_causes_come_first(reference_landing):
    """Of what stops the flight, nothing that follows stands before a cause."""
    tanks = {f"{DRY}.MMH.load": "4.1 t", f"{DRY}.NTO.load": "6.765 t"}
    stops = [x for x in flown(reference_landing, tanks).findings if x.rank == 0]
    marks = [bool(x.cause) for x in stops]
    assert marks == sorted(marks)
    assert any(marks)


def test_an_overlong_mission_explains_supplies_that_last_to_its_limit(reference_landing):
    """What lacks for no longer than the mission is too long follows; what lacks more does not."""
    plan = mplan.fly(reference_landing)
    days = plan.flight.duration / 86400.0
    supplies = reference_landing.elements["crew_module"].supplies
    used = next(
        x.used
        for x in mplan.checks.supplies.used(plan.flight)
        if (x.element, x.supply) == ("crew_module", "potable_water")
    )
    rate = used / days
    limit = {"mission.longest_duration": f"{days - 1.0} d"}
    key = "elements.crew_module.supplies.potable_water"
    assert supplies.potable_water > used
    little = flown(reference_landing, {**limit, key: f"{used - 0.4 * rate} kg"})
    much = flown(reference_landing, {**limit, key: f"{used - 2.5 * rate} kg"})
    (duration,) = told(little, "duration")
    (water,) = told(little, "supplies")
    assert water.cause == duration.text
    (water,) = told(much, "supplies")
    assert water.cause == ""


def test_a_plan_that_closes_has_no_causes(any_plan):
    """Findings of a plan without faults follow from nothing."""
    assert [x.cause for x in any_plan.findings if x.cause] == []
