"""Findings over time and remedies by their price, from plans that are known; nothing is flown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mplan.checks.finding import Remedy
from mplan.physics.constants import DAY
from mplan.show import to_change
from mplan.show.drawn import rows
from mplan.show.to_change import finding_marks, remedy_bars

CLOSES = Remedy("a shorter stage", True, "closes; lift-off mass -1.50 t, height -2.00 m", -1500.0)
LIGHT = Remedy("four canisters", True, "closes, 1 decision open; lift-off mass +2 kg", 2.0)
NOT = Remedy("another azimuth", False, "does not close: too tall; tightest margin -9 m/s", 0.0)


def with_remedies(plan, *remedies):
    first, *others = plan.findings
    return (replace(first, remedies=remedies), *(replace(x, remedies=()) for x in others))


def test_each_finding_has_its_row_the_gravest_on_top(overheight):
    """A row a finding; what is about hardware as a whole stands left of lift-off."""
    placed = finding_marks.placed_of(overheight)
    assert [each.finding for each in placed] == list(overheight.findings)
    assert placed[0].finding.severity == "stops the flight"
    assert placed[0].at is None
    assert len({each.row for each in placed}) == len(placed)


def test_a_finding_stands_at_its_event(overheight):
    """Contact is lost at the rendezvous, whose time the flight tells."""
    placed = {each.finding.event: each for each in finding_marks.placed_of(overheight)}
    moment = next(x for x in overheight.timeline if x.event == "rendezvous")
    assert placed["rendezvous"].at == moment.elapsed / DAY


def test_the_findings_in_words(overheight, any_plan):
    picture = to_change.findings(overheight)
    assert "1 stops the flight" in picture.summary
    none = to_change.findings(replace(any_plan, findings=()))
    assert repr(none) == "Findings: none, all checks passed."


def test_a_crowd_of_findings_is_counted(overheight):
    """Beyond so many rows the least grave are not drawn, and it is said how many."""
    many = replace(overheight, findings=overheight.findings * 3)
    left = len(many.findings) - finding_marks.MOST
    assert left > 0
    assert f"{left} of the least grave are not drawn" in finding_marks.summary(many)


def test_what_closes_the_plan_comes_first(overheight):
    found = with_remedies(overheight, NOT, LIGHT, CLOSES, CLOSES)
    assert remedy_bars.changes(found) == [CLOSES, LIGHT, NOT]
    assert "the lightest: a shorter stage, -1.50 t" in remedy_bars.summary(found)


def test_bars_in_a_unit_that_shows_them(overheight):
    """Tonnes where tonnes change, kilograms where two do."""
    heavy = remedy_bars.drawing(with_remedies(overheight, CLOSES, NOT))
    assert "[kg]" in heavy.x["title"]["text"]
    far = replace(CLOSES, lift_off=-186e3)
    assert "[t]" in remedy_bars.drawing(with_remedies(overheight, far)).x["title"]["text"]


def test_words_beside_the_bars(overheight):
    """Whether it closes, the mass, and the other costs."""
    words = remedy_bars.drawing(with_remedies(overheight, CLOSES, NOT)).traces[-1]["text"]
    assert words[0].strip() == "closes: -1.50 t, height -2.00 m"
    assert words[1].strip() == "no: +0 kg, tightest margin -9 m/s"


def test_words_are_cut_before_a_bracket(overheight):
    """What is left out of brackets takes their opening along."""
    costs = "lift-off mass -16.67 t, height -1.26 m, tightest margin -59 m/s (upper-stage climb)"
    long = Remedy("a shorter stage", False, f"does not close: too little; {costs}", -16.67e3)
    (words,) = remedy_bars.drawing(with_remedies(overheight, long)).traces[-1]["text"]
    assert words.strip() == "no: -16.67 t, height -1.26 m, tightest margin -59 m/s…"


def test_no_change_ends_anything(overheight):
    assert remedy_bars.summary(with_remedies(overheight)) == (
        "No change was flown that ends a finding."
    )


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        ((0.0, 338.0), ["0", "100", "200", "300"]),
        ((-6.4, 6.4), ["-5", "0", "5"]),
        ((0.0, 2.5), ["0", "1", "2"]),
        ((0.0, 0.03), ["0.00", "0.01", "0.02", "0.03"]),
        ((0.0, 0.0), ["0"]),
    ],
)
def test_ticks_are_round_and_told_in_full(ends, words):
    assert rows.ticks(*ends)["ticktext"] == words
