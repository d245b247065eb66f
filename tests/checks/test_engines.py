"""Ratings of engines: one burn, pauses between burns, delivery before the launch day."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from mplan.checks import engines

SHIP = ("service_module", "main")
TRANSFER = ("transfer_stage", "main")


@pytest.fixture
def found(landing_plan):
    """A function: findings on the demo's flight with other keys, flown no second time.

    Ratings and dates are only looked at once the flight is done.
    """

    def of(**keys: object) -> list:
        changes = {key.replace("__", "."): value for key, value in keys.items()}
        scenario = landing_plan.scenario.change(changes)
        return list(engines.findings(replace(landing_plan.flight, scenario=scenario)))

    return of


def burns(plan, key):
    return [each for each in plan.burns if (each.element, each.engine) == key]


def test_the_demo_keeps_its_ratings(found):
    assert found() == []


def test_the_longest_burn_counts(found, landing_plan):
    """Rated a second above the longest burn of the ship it is silent, a second below it is not."""
    longest = max(each.duration for each in burns(landing_plan, SHIP))
    key = "elements__service_module__engines__main__longest_burn"
    assert found(**{key: f"{longest + 1.0} s"}) == []
    (finding,) = found(**{key: f"{longest - 1.0} s"})
    assert (finding.severity, finding.check) == ("stops the flight", "longest burn")
    assert finding.text == (
        f"Storable-90 of service module burns {longest:.0f} s at a time, "
        "longer than it is qualified for"
    )
    assert finding.subject == SHIP


def test_time_on_the_pad_counts(found, landing_plan):
    """The first stage runs for the hold-down before the clock begins."""
    (lift,) = burns(landing_plan, ("first_stage", "lift"))
    key = "elements__first_stage__engines__lift__longest_burn"
    held = landing_plan.scenario.climb.hold_down
    assert held > 1.0
    assert found(**{key: f"{lift.duration + held + 0.5} s"}) == []
    (finding,) = found(**{key: f"{lift.duration + held - 0.5} s"})
    assert finding.check == "longest burn"


def test_a_pause_too_short(found, landing_plan):
    """From the insertion's cut-off to the injection's ignition, on either side of the rating."""
    first, second = burns(landing_plan, TRANSFER)
    pause = second.elapsed - (first.elapsed + first.duration)
    assert pause > 3600.0  # a revolution at least
    key = "elements__transfer_stage__engines__main__restart_interval"
    assert found(**{key: f"{pause - 1.0} s"}) == []
    (finding,) = found(**{key: f"{pause + 1.0} s"})
    assert (finding.check, finding.event) == ("restart", second.name)
    told = re.fullmatch(
        rf"Hydrogen-2R of transfer stage is started again ([\d.]+) min after {first.name}",
        finding.text,
    )
    assert float(told.group(1)) == pytest.approx(pause / 60.0, abs=0.05)  # digits as needed


def test_delivered_too_late(found, landing_plan):
    """Eighteen mean months are 547.9 d: decided on one day it is there, some days later not."""
    day = landing_plan.scenario.dates.launch_day
    assert day == date(2031, 5, 25)
    assert found(dates__decision_day="2029-11-22") == []  # 549 d before
    finding, *others = found(dates__decision_day="2029-12-01")  # 540 d before
    assert others == []
    assert (finding.severity, finding.check) == ("needs a decision", "delivery time")
    assert finding.text == "Kerosene-9 of first stage is delivered 7 d after the launch day"
    assert finding.limit == "by 2031-05-25"


def test_what_is_not_stated_is_not_asked(found):
    """No decision day, no delivery time: nothing to compare."""
    assert found() == []
    key = "elements__first_stage__engines__lift__delivery_time"
    late = {key: None, "dates__decision_day": "2029-12-01"}
    assert found(**late) == []
