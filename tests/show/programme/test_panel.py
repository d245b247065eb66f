"""The panel of a programme, without a browser."""

from __future__ import annotations

import sys
from datetime import timedelta

import pytest

from mplan.programme import plan_programme
from mplan.show import programme
from mplan.show.drawn.reference import behind
from mplan.show.programme import pictures
from tests.show import differences

START, RATE = "start", "elements.stage.rate"


def test_a_later_start_and_a_faster_line(small):
    """Sixty days later all ends sixty days later; with a faster line, earlier; and back again."""
    shown = programme.panel(small)
    shown.controls[START].value = 60.0
    later = shown.calendar.finish
    assert later - small.finish == timedelta(days=60)
    shown.controls[RATE].value = 2.0
    assert shown.calendar.finish < later
    assert str(shown.calendar.finish) in shown.said.value
    assert not shown.trouble.value
    shown.board.back.click()
    assert shown.calendar.tasks == small.tasks


def test_the_line_that_holds_the_end_comes_first(small):
    """The panel opens at the element of the critical path, its line as fast as in the file."""
    shown = programme.panel(small)
    assert list(shown.controls)[1] == RATE
    assert shown.controls[RATE].value == pytest.approx(1.0)


def test_a_rate_beyond_the_slider_is_no_change(small):
    """A line faster than the slider's usual span is kept as the file has it."""
    fast = small.programme.change("elements.stage.rate", "40 /year")
    shown = programme.panel(plan_programme(fast, remedies=False))
    assert shown.controls[RATE].value == shown.controls[RATE].slider.max == pytest.approx(40.0)
    shown.controls[START].value = 5.0
    assert shown.calendar.programme.elements == fast.elements


def test_bars_stay_where_they_are_drawn_anew(small):
    """The figure is kept from move to move, with the new calendar over the old one."""
    shown = programme.panel(small)
    figure = shown.figure
    shown.controls[START].value = 60.0
    assert shown.figure is figure
    now, before = map(pictures.missions_drawing, (shown.calendar, small))
    wanted = behind(now, before, "the file")
    assert len(wanted.traces) > len(now.traces)
    assert [x["y"] for x in figure.traces] == [x["y"] for x in wanted.traces]
    bars = [x for x in wanted.traces if x["type"] == "bar"]
    drawn = [x for x in figure.traces if x["type"] == "bar"]
    assert [(x["x"], x["base"]) for x in drawn] == [(x["x"], x["base"]) for x in bars]
    assert figure.shown.layout.xaxis.range == tuple(wanted.x["range"])


def test_a_search_can_be_stopped(small, monkeypatch):
    """An interruption of the kernel leaves the last calendar, and says so."""
    shown = programme.panel(small)

    def stop(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(sys.modules[type(shown).__module__], "plan_programme", stop)
    shown.controls[START].value = 60.0
    assert "Stopped" in shown.trouble.value
    assert shown.calendar is small


def test_a_move_tells_what_it_did(small):
    """A later start ends later by as much; back in the file's state nothing is told."""
    shown = programme.panel(small)
    assert not differences.of(shown.said.value)
    shown.controls[START].value = 60.0
    assert "60 d later" in differences.of(shown.said.value)
    shown.board.undo.click()
    assert not differences.of(shown.said.value)


def test_a_line_that_nothing_waits_for_says_so(small):
    """A line a trifle slower changes no day: what the end waits for is named; faster, it is not."""
    shown = programme.panel(small)
    slower = small.programme.change("elements.stage.rate", "0.999999 /year")
    shown.controls[RATE].value = 0.999999
    assert plan_programme(slower, remedies=False).finish == small.finish
    assert "the end waits for the stage" in shown.trouble.value
    shown.controls[RATE].value = 2.0
    assert shown.calendar.finish < small.finish
    assert shown.trouble.value == ""
