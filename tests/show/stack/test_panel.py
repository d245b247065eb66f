"""The panel of the stack without a browser: geometry at once, margins flown again."""

from __future__ import annotations

import pytest

import mplan
from mplan.show import stack
from mplan.show.stack import side_view
from mplan.show.stack.panel import facts
from mplan.vehicle import geometry, resize
from mplan.vehicle.ledger import filled
from mplan.vehicle.stack import on_pad
from tests.show.differences import without

SHORTER = "transfer_stage: shorter by"


@pytest.fixture(autouse=True)
def _raise(monkeypatch):
    """Let an error in a callback fail the test."""
    monkeypatch.setenv("MPLAN_RAISE", "1")


@pytest.fixture(scope="module")
def shared(reference_landing):
    return stack.panel(reference_landing)


@pytest.fixture
def panel(shared):
    shared.back.click()
    return shared


def test_a_shortened_stage_is_flown(panel, reference_landing):
    """Settled, a move gives what flying the shortened scenario gives, steered for itself."""
    panel.controls[SHORTER].slider.value = 0.5
    assert "steered as the optimised climb of Reference Landing" in panel.steered.value
    panel.settle()
    assert "optimised for most propellant" in panel.steered.value
    plan = mplan.fly(resize.shortened(reference_landing, "transfer_stage", 0.5))
    for value in facts(plan).values():
        assert value in without(panel.words.value)


def test_loads_and_shortening_go_together(panel, reference_landing):
    """The stage is shortened as it then is: its load first, then its length."""
    panel.controls["second_stage: load"].box.value = 240.0
    panel.controls["second_stage: shorter by"].box.value = 0.5
    lower = on_pad(reference_landing).height - on_pad(panel.scenario).height
    loaded = resize.reloaded(reference_landing, "second_stage", -20e3)
    expected = geometry.length(loaded.elements["second_stage"]) - 0.5
    assert geometry.length(panel.scenario.elements["second_stage"]) == pytest.approx(expected)
    assert lower > 0.5
    assert filled(panel.scenario).propellant("second_stage") < 240e3


def test_wider_is_shorter(panel, reference_landing):
    panel.controls["elements.first_stage.diameter"].box.value = 10.0
    assert on_pad(panel.scenario).width == 10.0
    assert on_pad(panel.scenario).height < on_pad(reference_landing).height


def test_engines_are_counted(panel):
    panel.controls["elements.second_stage.engines.main.count"].box.value = 4.0
    assert panel.scenario.elements["second_stage"].engines["main"].count == 4


def test_refused_says_why_and_keeps_the_picture(panel):
    """What cannot be is told, and the picture is that of the last that flew."""
    panel.controls[SHORTER].box.value = 30.0
    assert "cannot be made 30.00 m shorter" in panel.trouble.value
    fresh = side_view.drawing(panel.plan)
    assert [trace["y"] for trace in panel.figures[1].traces] == [x["y"] for x in fresh.traces]


def test_pictures_follow(panel):
    panel.controls["first_stage: shorter by"].slider.value = 1.0
    for figure, kind in zip(panel.figures, panel.charts, strict=True):
        assert figure.shown.layout.meta == kind.drawing(panel.plan).summary
