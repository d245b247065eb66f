"""Sliders of the lessons without a browser: words and picture follow, what cannot be is said."""

from __future__ import annotations

import pytest

import mplan
from mplan import shipped
from mplan.lessons import closing, leaving, stacking
from mplan.lessons.panel import WIDTH

PANELS = {
    "circles": lambda plan: leaving.circles(),
    "ellipse": lambda plan: leaving.ellipse(),
    "times": lambda plan: leaving.times(),
    "month": lambda plan: leaving.month("2032-05-14"),
    "passes": leaving.passes,
    "rocket": lambda plan: stacking.rocket(),
    "climb": lambda plan: stacking.climb(),
    "long_burn": lambda plan: stacking.long_burn(),
    "stages": lambda plan: stacking.stages(),
    "heavier": stacking.heavier,
}


@pytest.fixture(params=PANELS)
def panel(request, landing_plan, monkeypatch):
    monkeypatch.setenv("MPLAN_RAISE", "1")
    return PANELS[request.param](landing_plan)


def test_every_slider_moves_words_and_picture(panel):
    """To the far end of each slider and back; the picture is that of the words."""
    for control in panel.controls.values():
        before = panel.words.value, panel.figure.traces
        start, knob = control.value, control.knob
        control.value = (start + knob.high) / 2
        assert panel.words.value != before[0]
        assert panel.figure.traces != before[1]
        assert panel.figure.frame["meta"] == panel.drawing.summary
        control.value = start
        assert (panel.words.value, panel.figure.traces) == before


def test_what_stands_in_without_a_kernel(panel):
    """Values, the sentence and the picture itself, in few bytes; the picture fits its place."""
    still = panel.still().html
    assert panel.words.value in still
    assert 'src="data:image/png;base64,' in still
    assert len(still) < 30_000
    assert panel.figure.layout.flex == f"1 1 {WIDTH}px"


def test_ends_of_sliders_are_drawn(panel):
    """Both ends of every slider have a picture or a sentence that says why not."""
    for control in panel.controls.values():
        start = control.value
        for end in (control.knob.low, control.knob.high):
            control.value = end
            assert not panel.trouble.value or "Showing the last valid result" in panel.trouble.value
        control.value = start
        assert panel.trouble.value == ""


def test_what_leads_nowhere_is_said(monkeypatch):
    """A burn that does not reach the Moon: the last picture stays."""
    monkeypatch.setenv("MPLAN_RAISE", "1")
    panel = leaving.times()
    before = panel.words.value
    panel.controls["burn"].box.value = 3000.0
    assert "does not reach the Moon: 3,135.1 m/s is the least" in panel.trouble.value
    assert panel.words.value == before


def test_the_short_rule_of_stages_is_the_rocket_equation_without_structure():
    """With nothing left of a stage, how many there are makes no difference."""
    from mplan.lessons.stacking.formulas import payload_share

    one = payload_share(1, 9000.0, 350.0, 0.0)
    assert payload_share(3, 9000.0, 350.0, 0.0) == pytest.approx(one, rel=1e-12)


def test_the_hand_is_near_the_flight(landing_plan):
    """Exchange ratios by hand and flown: to a tenth where no burn before draws on the same tank.

    A heavier craft loses more in its longer burns, too: that is the tenth.
    """
    frame = stacking.beside_flown(landing_plan, more="100 kg").frame
    first = {burn.element: burn.name for burn in reversed(landing_plan.burns)}
    rows = frame[frame["burn"].isin(first.values())]
    assert len(rows) >= 2
    for hand, flown in zip(rows["by hand [m/s]"], rows["flown [m/s]"], strict=True):
        assert flown == pytest.approx(hand, rel=0.1)


def test_the_free_sliders_fly_the_mission(monkeypatch):
    """The panel of lesson 3: a load moves its tanks, what stops the mission is told anew."""
    monkeypatch.setenv("MPLAN_RAISE", "1")
    scenario = mplan.load(shipped.missions()["borrowed_pad"])
    stage = next(x.element for x in mplan.fly(scenario).burns if x.leg == "translunar injection")
    panel = closing.panel(scenario, [f"elements.{stage}.load=52 t..62 t"])
    before = panel.findings.value
    panel.controls[f"elements.{stage}.load"].value = 61.5
    assert "too heavy for the launch platform" in panel.findings.value
    assert panel.findings.value != before
    panel._rest.end()
