"""Limits of the pad beyond height, width and mass, and what an unlimited pad says."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

import mplan
from mplan.checks import pad

PAD = "launch_site.pad"


def texts(scenario: mplan.Scenario) -> list[str]:
    return [x.text for x in pad.findings(SimpleNamespace(scenario=scenario))]


def test_the_demo_fits(reference_landing):
    assert texts(reference_landing) == []


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("footprint_limit", "9 m", "the stack is 0.2 m too wide at its foot for the pad"),
        ("element_limit", 8, "the stack has 9 elements, the pad takes 8"),
        ("clamp_height", "1.7 m", "the stack is 1.0 m too tall for the pad"),
    ],
)
def test_optional_limits(reference_landing, key, value, text):
    """What a pad may state besides is held against the stack too, in one sentence."""
    assert texts(reference_landing.change(f"{PAD}.{key}", value)) == [text]


def test_limits_that_are_kept(reference_landing):
    kept = {f"{PAD}.footprint_limit": "9.3 m", f"{PAD}.element_limit": 9}
    assert texts(reference_landing.change(kept)) == []


def test_fins_count_as_width(reference_landing):
    finned = reference_landing.change("elements.first_stage.build.base_span", "12 m")
    assert texts(finned) == ["the stack is 1.0 m too wide for the pad"]
