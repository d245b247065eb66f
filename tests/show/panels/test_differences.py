"""What a panel says and draws of a change: differences, outlines, pins, moves without effect."""

from __future__ import annotations

import pytest

from mplan.show import climb, mission, notes
from mplan.show.drawn import palette
from mplan.show.drawn.reference import behind
from tests.show import differences

STAY, PAYLOAD = "mission.surface_stay", "mission.payload_down"


@pytest.fixture(autouse=True)
def _raise(monkeypatch):
    """Let an error in a callback fail the test."""
    monkeypatch.setenv("MPLAN_RAISE", "1")


@pytest.fixture(scope="module")
def shared(reference_landing):
    return mission.panel(reference_landing)


@pytest.fixture
def panel(shared):
    shared.pins.unpin.click()
    shared.back.click()
    return shared


def test_nothing_differs_from_the_file_at_first(panel):
    """No difference is told and no outline drawn while the file's state is shown."""
    assert "As in the file." in panel.verdict.value
    assert not differences.of(panel.words.value + panel.findings.value)
    for figure, chart in zip(panel.figures, panel.charts, strict=True):
        assert len(figure.traces) == len(chart.drawing(panel.plan).traces)


def test_verdict_and_lines_tell_by_how_much(panel, landing_plan):
    """A longer stay is later home, by what the two flights differ."""
    stay = panel.controls[STAY]
    stay.value = stay.value + 6.0
    days = (panel.plan.flight.duration - landing_plan.flight.duration) / 86400.0
    assert f"+{days:.1f} d" in differences.of(panel.verdict.value)
    splash = next(x for x in panel.words.value.split("</p>") if "splash" in x)
    assert "later" in differences.of(splash)[0]
    assert "landing" in differences.without(panel.words.value)


def test_a_pinned_state_is_compared_with(panel):
    """Pinned, a state is what outlines and differences are taken from, until it is unpinned."""
    panel.controls[PAYLOAD].value = 300.0
    panel.pins.pin.click()
    assert "As in the pinned state." in panel.verdict.value
    pinned = panel.plan
    panel.controls[PAYLOAD].value = 320.0
    assert "Compared with the pinned state" in panel.verdict.value
    budget = panel.charts[0].drawing
    over = behind(budget(panel.plan), budget(pinned), "the pinned state")
    assert [x["x"] for x in panel.figures[0].traces] == [x["x"] for x in over.traces]
    panel.controls[PAYLOAD].reset.click()
    assert panel.controls[PAYLOAD].value == 300.0
    panel.pins.unpin.click()
    assert "Compared with the file" in panel.verdict.value


def test_findings_that_come_and_go_are_marked(panel):
    """What a change brings is new; taken back after a pin, it is gone."""
    panel.controls[PAYLOAD].value = 1000.0
    assert "new" in differences.of(panel.findings.value)
    panel.pins.pin.click()
    panel.controls[PAYLOAD].value = 200.0
    assert "gone" in differences.of(panel.findings.value)
    assert "<s>" in panel.findings.value


def test_closing_differs_in_shape_word_and_colour(panel):
    """A plan that closes and one that does not have nothing of their badges in common."""
    fine = notes.closing(panel.plan)
    panel.controls[PAYLOAD].value = 1000.0
    assert not panel.plan.closes
    assert all(a != b for a, b in zip(fine, notes.closing(panel.plan), strict=True))
    assert "DOES NOT CLOSE" in panel.verdict.value
    assert "closed before" in differences.of(panel.verdict.value)


@pytest.mark.parametrize("colour", [palette.GREEN, palette.ORANGE, palette.VERMILION])
def test_badges_can_be_read(colour):
    """Ink on each badge has a contrast of 4.5 to 1, on any page (WCAG 2.1, 1.4.3)."""
    light, dark = sorted((luminance(colour), luminance(notes.INK)), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour (WCAG 2.1)."""
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_undo_flies_the_state_before(panel, landing_plan):
    panel.controls[PAYLOAD].value = 320.0
    changed = panel.plan.verdict
    panel.board.undo.click()
    assert panel.plan.verdict == landing_plan.verdict
    panel.board.redo.click()
    assert panel.plan.verdict == changed


def test_a_limit_that_is_not_reached_says_so(reference_landing):
    """A limit above what the climb comes to changes nothing, and the reason is its own peak."""
    loose = reference_landing.change("climb.pressure_limit", "80 kPa")
    panel = climb.panel(loose)
    panel.controls["climb.pressure_limit"].value = 85.0
    peak = panel.plan.flight.climb.most_dynamic_pressure.value / 1e3
    assert f"the greatest dynamic pressure, {peak:.1f} kPa, stays below" in panel.trouble.value


def test_a_stay_that_waits_for_the_ship_says_so(panel):
    """Within a revolution of the ship another stay changes nothing; what it waits for is named."""
    stay, said = panel.controls[STAY], []
    for more in range(1, 5):
        before = panel.plan.flight.burn_of("lunar ascent").elapsed
        stay.value = stay.value + 0.5
        same = abs(panel.plan.flight.burn_of("lunar ascent").elapsed - before) < 60.0
        said.append("next pass, at 20" in panel.trouble.value)
        assert said[-1] == same, f"{more} moves"
    assert any(said), "of two hours, a step of half an hour stays within a revolution"


def test_what_is_not_shown_is_named_where_it_is_felt(reference_landing):
    """A move that is felt neither in words nor in pictures, nor in the plan, says that."""
    panel = climb.panel(reference_landing)
    panel.controls[PAYLOAD].value = panel.controls[PAYLOAD].value + 1e-6
    assert "changes nothing in this plan" in panel.trouble.value
