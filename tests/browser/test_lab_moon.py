"""JupyterLab on the landing and the stay: cells run, keys move words and pictures."""

from __future__ import annotations

import re

import pytest

BOOK = "06_at_the_moon.ipynb"


@pytest.fixture(scope="module")
def page(run_workbook):
    """The workbook, run to its last cell."""
    return run_workbook(BOOK)


def test_every_cell_runs_clean(page, outputs):
    """No cell ends in an error or writes a warning, and pictures are there."""
    found = outputs(page, BOOK)
    assert not [x for x in found if x["output_type"] in ("error", "stream")]
    kinds = [kind for output in found for kind in output.get("data", ())]
    assert kinds.count("application/vnd.plotly.v1+json") >= 9


def test_a_longer_hover_is_paid_for(page, press):
    """Five seconds more, and the descent takes longer and costs more."""
    picture = page.locator(".widget-hbox .js-plotly-plot").last
    drawn = picture.inner_html()
    burn = re.compile(r"powered descent ([\d,]+) m/s in (\d+) s")
    long = burn.search(press(page, re.compile("^hover"), "ArrowRight"))
    assert picture.inner_html() != drawn
    short = burn.search(press(page, re.compile("^hover"), "ArrowLeft"))
    assert int(long.group(2)) == int(short.group(2)) + 5
    assert long.group(1) > short.group(1)


def test_the_choice_is_not_cut_off(page):
    """The words on the buttons are whole."""
    buttons = page.locator(".widget-toggle-button")
    cut = buttons.evaluate_all("all => all.filter(x => x.scrollWidth > x.clientWidth + 1).length")
    assert buttons.count() == 2
    assert cut == 0
