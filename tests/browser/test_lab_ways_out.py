"""JupyterLab on the crew and its ways out: the bands are drawn, the panel flies another failure."""

from __future__ import annotations

import pytest

NAME = "10_crew_and_ways_out.ipynb"
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
