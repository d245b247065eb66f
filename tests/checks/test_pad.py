"""Each limit of the launch site is its own finding with its own number; what is omitted is free."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

import mplan
from mplan.checks import pad
from mplan.checks.finding import Finding
from mplan.vehicle import geometry
from mplan.vehicle.stack import on_pad

PAD = "launch_site.pad"
EMPTY = {f"{PAD}.{key}": None for key in ("door_height", "door_width", "platform_load")}


def found(scenario: mplan.Scenario) -> list[Finding]:
    return list(pad.findings(SimpleNamespace(scenario=scenario)))


def test_the_reference_mission_fits(reference_landing):
    assert found(reference_landing) == []


@pytest.mark.parametrize(
    ("key", "value", "text", "limit"),
    [
        (
            "door_height",
            "100 m",
            "the stack is 1.3 m too tall for the assembly-hall door",
            "100.0 m",
        ),
        ("door_width", "9 m", "the stack is 0.2 m too wide for the assembly-hall door", "9.0 m"),
        ("hook_height", "101 m", "the stack is 0.3 m too tall for the crane", "101.0 m"),
        (
            *("platform_load", "2200 t"),
            *("the stack is 76.5 t too heavy for the launch platform", "2,200.0 t"),
        ),
        (
            *("foot_width", "9 m"),
            *("the stack is 0.2 m too wide at its foot for the launch platform", "9.0 m"),
        ),
    ],
)
def test_beyond_a_limit(reference_landing, key, value, text, limit):
    """Nothing else is stated, so that one number is found, with its key as the basis."""
    (finding,) = found(reference_landing.change({**EMPTY, f"{PAD}.{key}": value}))
    assert (finding.text, finding.limit) == (text, f"{limit} at most")
    assert (finding.severity, finding.basis) == ("stops the flight", f"{PAD}.{key}")


def test_a_site_that_states_nothing_limits_nothing(reference_landing):
    huge = reference_landing.change("elements.first_stage.build.base_span", "60 m")
    assert found(huge.change(EMPTY)) == []


def test_posts_count_under_the_door_only(reference_landing):
    """On posts of 1.7 m the stack no longer passes the door; the crane lifts it as before."""
    raised = reference_landing.change(
        {f"{PAD}.post_height": "1.7 m", f"{PAD}.hook_height": "101.4 m"}
    )
    (finding,) = found(raised)
    assert finding.text == "the stack is 1.0 m too tall for the assembly-hall door"
    assert finding.found == "103.0 m"


def test_lift_off_thrust_is_that_of_the_engines_that_burn_then(reference_landing):
    """Six engines of the first stage at sea level, and nothing of the stages above."""
    engine = reference_landing.elements["first_stage"].engines["lift"]
    thrust = engine.count * engine.thrust_sea_level / 1e6
    key = f"{PAD}.deflector_thrust"
    assert found(reference_landing.change(key, f"{thrust + 0.1} MN")) == []
    (finding,) = found(reference_landing.change(key, f"{thrust - 0.5} MN"))
    assert finding.text == "the lift-off thrust is 0.5 MN too much for the flame deflector"


def test_the_highest_umbilical_is_that_of_the_last_stage_loaded_on_the_pad(reference_landing):
    """The transfer stage's hydrogen is loaded there; storables above it are loaded before."""
    stages = ("first_stage", "second_stage", "transfer_stage")
    top = sum(length(reference_landing, name) for name in stages)
    key = f"{PAD}.umbilical_reach"
    assert found(reference_landing.change(key, f"{top + 0.01} m")) == []
    (finding,) = found(reference_landing.change(key, f"{top - 2.0} m"))
    assert finding.text == "the highest umbilical connection is 2.0 m above the umbilicals' reach"


def length(scenario: mplan.Scenario, name: str) -> float:
    return geometry.length(scenario.elements[name])


def test_an_excess_is_never_rounded_away(reference_landing):
    """A tenth of a millimetre too tall is still told as a number above zero."""
    height = on_pad(reference_landing).height
    (finding,) = found(reference_landing.change(f"{PAD}.door_height", f"{height - 1e-4} m"))
    assert "is 0.0001 m too tall" in finding.text
    assert finding.limit.split()[0] != finding.found.split()[0]


def test_fins_count_as_width(reference_landing):
    finned = reference_landing.change("elements.first_stage.build.base_span", "12 m")
    assert [x.text for x in found(finned)] == [
        "the stack is 1.0 m too wide for the assembly-hall door"
    ]
