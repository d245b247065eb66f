"""The brief: verdict, what it rests on in lines, findings, then the tables."""

from __future__ import annotations

from dataclasses import replace
from io import StringIO

import pytest

import mplan
from mplan.checks import Finding
from mplan.scenario.figures import Figures
from mplan.show.terminal import print_brief

FALLS = "dropped elements come down"


def printed(plan: mplan.Plan, **how: bool) -> str:
    out = StringIO()
    print_brief(plan, out, **how)
    return out.getvalue()


def joined(text: str) -> str:
    """A printed text without its line breaks."""
    return " ".join(text.split())


def finding(text: str, **other: str) -> Finding:
    stated = {"figures": Figures("none", "1 kg"), "basis": "practice", **other}
    event = stated.pop("event", "powered_descent")
    return Finding("stops the flight", "delta-v", event, text, **stated)


def test_findings_stand_before_the_tables(overheight):
    """What decides comes first."""
    text = printed(overheight)
    titles = ("Findings", "Budget", "Limits", "Timeline", "Cautions")
    places = [text.index(f"\n{x}\n") for x in titles]
    assert places == sorted(places)


def test_findings_of_one_kind_are_one_line(landing_plan):
    """Two falls are one line with a count and every place; `every` gives one line each."""
    falls = [x for x in landing_plan.findings if x.together == FALLS]
    assert len(falls) == 2
    text = joined(printed(landing_plan))
    assert text.count(f"for information: 2 {FALLS}: ") == 1
    assert all(x.item in text and x.text not in text for x in falls)
    whole = joined(printed(landing_plan, every=True))
    assert FALLS not in whole
    assert all(x.text in whole for x in falls)


def test_what_follows_stands_below_its_cause(landing_plan):
    """Consequences are counted in one line below the cause, and told whole with `every`."""
    cause = finding("the tank is dry")
    follow = [finding(f"burn {i} lacks", cause="the tank is dry", event=f"burn {i}") for i in "12"]
    plan = replace(landing_plan, findings=(cause, *follow))
    lines = printed(plan).splitlines()
    at = next(i for i, x in enumerate(lines) if x.startswith("stops the flight: the tank is dry"))
    assert lines[at + 1] == "  2 findings follow from this: delta-v of burn 1, delta-v of burn 2"
    assert not any("burn 1 lacks" in x for x in lines)
    assert "follows from this: stops the flight: burn 2 lacks" in printed(plan, every=True)


def test_a_consequence_without_its_cause_is_told_all_the_same(landing_plan):
    """Nothing is lost where the cause is no finding of the plan."""
    plan = replace(landing_plan, findings=(finding("burn lacks", cause="something else"),))
    assert "stops the flight: burn lacks" in printed(plan)


def test_many_of_a_kind_are_counted(landing_plan):
    """More than six in a line are told by their number."""
    many = [finding(f"{i} lacks", together="burns lack", item=f"burn {i}") for i in range(9)]
    text = joined(printed(replace(landing_plan, findings=tuple(many))))
    assert "9 burns lack: burn 0; burn 1; burn 2; burn 3; burn 4; burn 5; 3 more (basis" in text


@pytest.mark.parametrize("every", [False, True])
def test_no_line_is_too_long(any_plan, every):
    assert max(map(len, printed(any_plan, every=every).splitlines())) <= 100
