"""Each check finds what it is for, says so in one sentence, and is silent otherwise."""

from __future__ import annotations

from datetime import date

import mplan
from mplan.checks import Finding
from tests.conftest import MISSIONS


def found(scenario: mplan.Scenario, **changes: object) -> list[Finding]:
    """Findings on the scenario with changes, given as keys with __ for dots."""
    changed = {key.replace("__", "."): value for key, value in changes.items()}
    return list(mplan.fly(scenario.change(changed)).findings)


def only(findings: list[Finding], check: str) -> Finding:
    matching = [x for x in findings if x.check == check]
    assert len(matching) == 1, [x.text for x in findings]
    return matching[0]


def test_the_demo_has_none(landing_plan):
    """A plan that closes is silent, but for where its stages come down."""
    falls = [x.text for x in landing_plan.findings if x.check == "impact"]
    assert [x.split(" comes down ")[0] for x in falls[:2]] == ["first stage", "escape tower"]
    assert falls[2].startswith("second stage may come down on land")  # accepted by [severity]
    assert all(x.severity == "for information" for x in landing_plan.findings)
    assert landing_plan.closes


def test_several_come_down():
    """The verb agrees with a label in the plural."""
    plan = mplan.fly(mplan.load(MISSIONS / "northern_landing.toml"))
    falls = [x.text for x in plan.findings if x.check == "impact"]
    assert [x for x in falls if x.startswith("girths come down ")]
    assert [x for x in falls if x.startswith("saddle comes down ")]


def test_too_little_propellant_for_a_burn(reference_landing):
    """A tank that runs dry is named, with the burn and what it lacks."""
    finding = only(
        found(
            reference_landing,
            elements__descent_stage__tanks__MMH__load="2.8 t",
            elements__descent_stage__tanks__NTO__load="5.04 t",
        ),
        "delta-v",
    )
    assert finding.severity == "stops the flight"
    assert finding.event == "powered descent"
    assert finding.text.startswith("powered descent lacks ")
    assert finding.text.endswith(" m/s: the descent stage runs out of propellant first")


def test_a_margin_that_is_eaten(reference_landing):
    """A burn that can be flown but not with its margin stops the plan too, and says which."""
    finding = only(found(reference_landing, margins__burns={"powered descent": "6 %"}), "delta-v")
    assert "of margin: it can be flown, but not with" in finding.text


def test_too_many_starts(reference_landing):
    """The fifth start of an engine qualified for four is found."""
    finding = only(
        found(reference_landing, elements__service_module__engines__main__starts=4), "starts"
    )
    assert finding.text == "Storable-90 of service module is started 5 times and is qualified for 4"


def test_burned_too_long(reference_landing):
    """Seconds of all burns together are held against the qualified duration."""
    finding = only(
        found(
            reference_landing, elements__descent_stage__engines__main__qualified_duration="500 s"
        ),
        "qualified duration",
    )
    assert finding.limit == "500 s at most"
    assert finding.text.startswith("Storable-45 of descent stage burns 7")


def test_too_weak_to_leave_the_pad(reference_landing):
    """Thrust below weight stops the flight; a little above it asks for a decision."""
    weak = found(reference_landing, elements__first_stage__engines__lift__count=4)
    assert only(weak, "thrust").severity == "stops the flight"
    slow = found(reference_landing, elements__first_stage__engines__lift__count=5)
    assert only(slow, "thrust").severity == "needs a decision"
    assert only(slow, "thrust").basis == "common practice, no source"


def test_cannot_hold_itself_up_at_touchdown(reference_landing):
    """A lander heavier on the Moon than its thrust is found at landing."""
    findings = found(
        reference_landing, elements__descent_stage__engines__main__thrust_vacuum="12 kN"
    )
    landing = [x for x in findings if x.event == "landing"]
    assert [x.severity for x in landing] == ["stops the flight"]
    assert "cannot hold its weight at touchdown" in landing[0].text
    assert any("cannot be flown as one burn" in x.text for x in findings)


def test_cannot_hover(reference_landing):
    """An engine that does not throttle below the lunar weight cannot hover."""
    finding = only(
        found(reference_landing, elements__descent_stage__engines__main__throttle_min="60 %"),
        "landing",
    )
    assert finding.severity == "stops the flight"
    assert "cannot hover at touchdown" in finding.text


def test_too_long_away(reference_landing):
    """The whole mission is held against what crew and hardware are rated for."""
    finding = only(found(reference_landing, mission__longest_duration="8 d"), "duration")
    assert finding.text == "the mission lasts 1.1 d longer than its limit"


def test_supplies_that_run_out(reference_landing):
    """Too little oxygen stops the flight; too little room for waste asks for a decision."""
    short = found(reference_landing, elements__crew_module__supplies__oxygen="10 kg")
    assert only(short, "supplies").text == (
        "crew module runs short of 9.6 kg of oxygen, from 3 d 23 h after lift-off on"
    )
    full = found(reference_landing, elements__crew_module__supplies__faecal_storage="1 kg")
    assert only(full, "supplies").severity == "needs a decision"


def test_the_sun_at_touchdown(reference_landing):
    """Too high a Sun, and a Sun below the horizon, ask for a decision and say where it stands."""
    late = only(found(reference_landing, dates__launch_day=date(2031, 5, 28)), "light")
    assert (late.severity, late.found) == ("needs a decision", "50.1 deg")
    assert late.text == "Sun outside limits: it stands too high over the landing site at touchdown"
    night = only(found(reference_landing, dates__launch_day=date(2031, 5, 15)), "light")
    assert "below the horizon" in night.text


def test_the_gravest_come_first(reference_landing):
    """What stops the flight stands above what needs a decision."""
    findings = found(
        reference_landing,
        elements__first_stage__engines__lift__count=5,
        mission__longest_duration="8 d",
    )
    assert [x.rank for x in findings] == sorted(x.rank for x in findings)
    assert findings[0].severity == "stops the flight"
