"""JupyterLab on the crew and its ways out: the bands are drawn, the panel flies another failure."""

from __future__ import annotations

import pytest

NAME = "10_crew_and_ways_out.ipynb"
LAST = "half the power lost"
LONG = 180_000  # ms: others may have the cores


@pytest.fixture(scope="module")
def page(open_workbook):
    return open_workbook(NAME)


def test_bands_are_drawn(page, reach):
    cell = reach(page, page.locator(".jp-CodeCell", has_text="crew.coverage(plan)"))
    cell.locator(".mplan-picture .main-svg").first.wait_for(timeout=LONG)


def test_another_failure_is_flown(page, reach):
    """A button for each failure, by its name; the words are those of what was chosen."""
    button = reach(page, page.get_by_role("button", name="cabin leaks"))
    button.click()
    page.get_by_text("(lunar orbit), cabin leaks:").first.wait_for(timeout=LONG)


def test_failures_stand_in_one_row(page, reach):
    """At 1440 and 1280 px: five buttons at one height, no word cut; a key presses the next one."""
    words = ("main engine lost", "one engine lost", "called off", "cabin leaks")
    buttons = [page.get_by_role("button", name=x, exact=True) for x in (*words, LAST)]
    for width in (1440, 1280):
        page.set_viewport_size({"width": width, "height": 1000})
        reach(page, buttons[0])
        assert len({round(x.bounding_box()["y"]) for x in buttons}) == 1
        for each in buttons:
            assert each.evaluate("x => x.scrollWidth <= x.clientWidth + 1")
    buttons[0].focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.get_by_text("(lunar orbit), one engine lost").first.wait_for(timeout=LONG)


def test_nothing_has_moved_before_anybody_moves_it(open_workbook, reach):
    """The slider stands on a step; the time stays what it was, and there is nothing to undo."""
    page = open_workbook(NAME)
    undo = reach(page, page.get_by_role("button", name="Undo"))
    page.wait_for_timeout(2000)
    assert undo.is_disabled()


def test_a_way_about_the_moon_is_drawn_beside(page, reach):
    """In lunar orbit the panel has two pictures, the second of the orbit and its burn."""
    reach(page, page.get_by_role("button", name="called off", exact=True)).click()
    page.get_by_text("(lunar orbit), called off").first.wait_for(timeout=LONG)
    legend = page.locator(".mplan-panel .legendtext", has_text="1 return burn")
    legend.first.wait_for(timeout=LONG)
