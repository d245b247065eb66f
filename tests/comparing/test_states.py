"""When a finding counts as changed: its state, not the last digits of its text."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mplan.checks.finding import Finding
from mplan.comparing.records import FindingPair
from mplan.scenario.figures import Figures, FoundNumber, at_least, counted

FOUND = Finding(
    severity="stops the flight",
    check="supplies",
    event="ascent_stage",
    text="ascent stage leaves 0.7 kg of carbon dioxide in the air, from 7 d 2 h on",
    figures=at_least(5.8, 5.1, "kg"),
    basis="crew_day",
)


def fallen(kilometres: float) -> Figures:
    """What is found of a fall: the limit is no number."""
    amounts = (FoundNumber(kilometres, 0),)
    return Figures("a cleared area", f"{kilometres:,.0f} km", amounts=amounts)


FALL = replace(FOUND, check="impact", figures=fallen(1469.0), text="falls 1469 km")
STARTS = replace(FOUND, check="starts", figures=counted(3, 4, "starts"), text="needs 4 starts")


@pytest.mark.parametrize(
    ("first", "changes", "what"),
    [
        (FOUND, {}, "same"),
        (FOUND, {"text": FOUND.text.replace("7 d 2 h", "7 d 3 h")}, "same"),
        (FOUND, {"figures": at_least(5.8, 5.0, "kg")}, "same"),
        (FOUND, {"figures": at_least(5.8, 4.9, "kg")}, "changed"),
        (FOUND, {"figures": at_least(6.0, 5.1, "kg")}, "changed"),
        (FOUND, {"severity": "needs a decision"}, "changed"),
        (FOUND, {"text": "ascent stage has no room for 0.7 kg of waste"}, "changed"),
        (FOUND, {"figures": Figures(FOUND.limit, "none")}, "changed"),
        (FALL, {"figures": fallen(1470.0), "text": "falls 10 km"}, "same"),
        (FALL, {"figures": fallen(1471.0)}, "changed"),
        (FALL, {"event": "core_stage"}, "changed"),
        (STARTS, {"figures": counted(3, 4, "starts")}, "same"),
        (STARTS, {"figures": counted(3, 5, "starts")}, "changed"),
    ],
)
def test_what_becomes_of_a_finding(first, changes, what):
    """Another state, thing or number counts; a last digit more or less does not."""
    other = replace(first, **changes)
    assert FindingPair(first, other).what == what
    assert FindingPair(other, first).what == what


def test_one_alone_is_gained_or_lost():
    assert FindingPair(None, FOUND).what == "gained"
    assert FindingPair(FOUND, None).what == "lost"
