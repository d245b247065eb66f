"""The panel of a programme, without a browser."""

from __future__ import annotations

from datetime import timedelta

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
