"""The panel of a programme, without a browser."""

from __future__ import annotations

import sys
from datetime import timedelta

import pytest

from mplan.programme import plan_programme
from mplan.show import programme


def test_a_later_start_and_a_faster_line(small):
    """Sixty days later all ends sixty days later; with a faster line, earlier; and back again."""
    shown = programme.panel(small)
    shown.start.value = 60
    later = shown.calendar.finish
    assert later - small.finish == timedelta(days=60)
    shown.rate.value = 2.0
    assert shown.calendar.finish < later
    assert str(shown.calendar.finish) in shown.said.value
    assert not shown.trouble.value
    shown.start.value, shown.rate.value = 0, 1.0
    assert shown.calendar.tasks == small.tasks


def test_the_line_that_holds_the_end_comes_first(small):
    """The panel opens at the element of the critical path, its line as fast as in the file."""
    shown = programme.panel(small)
    assert shown.element.value == "stage"
    assert shown.rate.value == pytest.approx(1.0)


def test_a_rate_beyond_the_slider_is_no_change(small):
    """A line faster than the slider's usual span is kept as the file has it."""
    fast = small.programme.change("elements.stage.rate", "40 /year")
    shown = programme.panel(plan_programme(fast, remedies=False))
    assert shown.rate.value == shown.rate.max == pytest.approx(40.0)
    shown.start.value = 5
    assert shown.calendar.programme.elements == fast.elements


def test_bars_stay_where_they_are_drawn_anew(small):
    """The figure is kept from move to move; its bars are those of the new calendar."""
    shown = programme.panel(small)
    figure = shown.drawn.children[0]
    shown.start.value = 60
    assert shown.drawn.children[0] is figure
    wanted = programme.missions(shown.calendar)
    for drawn, new in zip(figure.shown.data, wanted.data, strict=True):
        assert list(drawn.y) == list(new.y)
        assert list(drawn.x) == list(new.x)
        if drawn.type == "bar":
            assert list(drawn.base) == list(new.base)
            assert list(drawn.marker.pattern.shape) == list(new.marker.pattern.shape)
    assert list(figure.shown.layout.xaxis.range) == list(wanted.layout.xaxis.range)


def test_a_search_can_be_stopped(small, monkeypatch):
    """An interruption of the kernel leaves the last calendar, and says so."""
    shown = programme.panel(small)

    def stop(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(sys.modules[type(shown).__module__], "plan_programme", stop)
    shown.start.value = 60
    assert "Stopped" in shown.trouble.value
    assert shown.calendar is small
