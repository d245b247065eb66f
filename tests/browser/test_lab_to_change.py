"""JupyterLab on what to change: each study runs behind the page, can be stopped, keeps what it has.

`tests/test_workbooks.py` executes all of it to its ends, without a page.
"""

from __future__ import annotations

import time

import pytest

from mplan.show.drawn.figure import PLOTLY

NAME = "09_what_to_change.ipynb"
SECTIONS = (
    "What was found",
    "What would mend it",
    "What is felt in a margin",
    "What a kilogram costs",
    "The least that closes",
    "How likely it holds",
    "What margin trades for",
)
# What starts a study, and what its steps are called, in the order in which they are flown.
STUDIES = {
    "Fly a unit of each": "variations",
    "Fly exchange ratios": "flights",
    "Search the least": "flights",
    "Fly drawn missions": "missions",
    "Fly the trades": "cases",
}
EMPTY = {
    "Fly a unit of each": "nothing that was varied until then is felt in it",
    "Fly exchange ratios": "No ratio was flown until then",
    "Fly drawn missions": "No mission was flown until then",
    "Fly the trades": "No case was flown until then",
}
LONG = 180_000  # ms: others may have the cores
# Where a study's own picture and words stand: the cell that holds its buttons.
CELL = ".jp-CodeCell:has(button:has-text('{}'))"
DRAWN = """cell => [...cell.querySelectorAll('.mplan-picture')].some(
    picture => picture.querySelector('.point, .js-line, .textpoint'))"""


@pytest.fixture(scope="module")
def page(open_workbook):
    return open_workbook(NAME)


@pytest.fixture(scope="module")
def stopped(page, reach):
    """Each study stopped once it has flown something: how long that took [s], and its cell."""
    found = {}
    for start, counted in STUDIES.items():
        cell = reach(page, page.locator(CELL.format(start)))
        cell.get_by_text(f" {counted} flown.").wait_for(timeout=LONG)
        asked = time.monotonic()
        cell.get_by_role("button", name="Stop").click()
        cell.get_by_role("button", name=start, disabled=False).wait_for(timeout=LONG)
        found[start] = time.monotonic() - asked
        print(f"\n{start}: stopped after {found[start]:.1f} s")
    return found


def test_sections_appear(page, reach):
    """In the order in which a planner works."""
    for name in SECTIONS:
        reach(page, page.get_by_role("heading", name=name))


def test_nothing_to_remedy_is_said(page, reach):
    """The demo closes: a sentence stands in place of flights."""
    reach(page, page.get_by_text("there is nothing to remedy"))


def test_findings_are_drawn(page, reach):
    """The picture that needs no flight has its marks."""
    cell = reach(page, page.locator(".jp-CodeCell", has_text="to_change.findings(plan)"))
    cell.locator(".mplan-picture .main-svg").first.wait_for(timeout=LONG)
    assert cell.evaluate(DRAWN)


@pytest.mark.parametrize("start", STUDIES)
def test_stopped_it_keeps_what_there_is(page, reach, stopped, start):
    """It says where, and shows a picture that is not empty with words below, or why there is none.

    What was flown first need not be felt in the margin, and makes no exchange ratio yet; missions
    and cases come a few at a time.
    """
    assert start in stopped
    cell = reach(page, page.locator(CELL.format(start)))
    said = cell.locator(".widget-html-content").first.inner_text()
    assert "Stopped " in said or "of " not in said  # its last step was flown meanwhile
    assert "Error" not in said
    assert "Traceback" not in cell.inner_text()
    if EMPTY.get(start, "-") in cell.inner_text():
        return
    cell.locator(".mplan-picture .main-svg").first.wait_for(timeout=LONG)
    assert cell.evaluate(DRAWN)
    assert cell.locator("table tbody tr").count() >= 1


def test_every_cell_ran_clean(page, outputs, stopped):
    """Saved, no cell holds an error or a warning, and what was found stands in the outputs."""
    assert len(stopped) == len(STUDIES)
    found = outputs(page, NAME)
    assert not [x for x in found if x["output_type"] in ("error", "stream")]
    pictures = [x["data"][PLOTLY] for x in found if PLOTLY in x.get("data", {})]
    assert len(pictures) > len(STUDIES) - len(EMPTY)  # that of the findings, too
    assert all(any(trace.get("y") for trace in picture["data"]) for picture in pictures)
