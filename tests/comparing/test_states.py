"""When a finding counts as changed: its state, not the last digits of its text."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mplan.checks.finding import Finding
from mplan.comparing.records import FindingPair
from mplan.scenario.figures import Figures

FOUND = Finding(
    severity="stops the flight",
    check="supplies",
    event="ascent_stage",
    text="ascent stage leaves 0.7 kg of carbon dioxide in the air, from 7 d 2 h on",
    figures=Figures("5.8 kg at least", "5.1 kg"),
    basis="crew_day",
)
FALL = replace(
    FOUND, check="impact", figures=Figures("a cleared area", "1,469 km"), text="falls 1469 km"
)


@pytest.mark.parametrize(
    ("first", "changes", "what"),
    [
        (FOUND, {}, "same"),
        (FOUND, {"text": FOUND.text.replace("7 d 2 h", "7 d 3 h")}, "same"),
        (FOUND, {"figures": Figures(FOUND.limit, "5.0 kg")}, "same"),
        (FOUND, {"figures": Figures(FOUND.limit, "4.9 kg")}, "changed"),
        (FOUND, {"figures": Figures("6.0 kg at least", FOUND.found)}, "changed"),
        (FOUND, {"severity": "needs a decision"}, "changed"),
        (FOUND, {"text": "ascent stage has no room for 0.7 kg of waste"}, "changed"),
        (FOUND, {"figures": Figures(FOUND.limit, "none")}, "changed"),
        (FALL, {"figures": Figures(FALL.limit, "1,470 km"), "text": "falls 10 km"}, "same"),
        (FALL, {"figures": Figures(FALL.limit, "1,471 km")}, "changed"),
        (FALL, {"event": "core_stage"}, "changed"),
    ],
)
def test_what_becomes_of_a_finding(first, changes, what):
    other = replace(first, **changes)
    assert FindingPair(first, other).what == what
    assert FindingPair(other, first).what == what


def test_one_alone_is_gained_or_lost():
    assert FindingPair(None, FOUND).what == "gained"
    assert FindingPair(FOUND, None).what == "lost"
