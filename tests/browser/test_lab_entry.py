"""JupyterLab on the entry: cells run, keys move words and pictures."""

from __future__ import annotations

import re

import pytest

BOOK = "07_entry.ipynb"


@pytest.fixture(scope="module")
def page(run_workbook):
    """The workbook, run to its last cell."""
    return run_workbook(BOOK)


def test_every_cell_runs_clean(page, outputs):
    """No cell ends in an error or writes a warning, and pictures are there."""
    found = outputs(page, BOOK)
    assert not [x for x in found if x["output_type"] in ("error", "stream")]
    kinds = [kind for output in found for kind in output.get("data", ())]
    assert kinds.count("application/vnd.plotly.v1+json") >= 4


def test_a_steeper_entry_is_harder(page, press):
    """A key down the scale is 0.05 deg steeper, with more load; the corridor is drawn anew."""
    picture = page.locator(".widget-hbox .js-plotly-plot").first
    drawn = picture.inner_html()
    steep = press(page, "entry angle", "PageDown")
    assert picture.inner_html() != drawn
    back = press(page, "entry angle", "PageUp")
    load = re.compile(r"largest load ([\d.]+) g")
    assert float(load.search(steep).group(1)) > float(load.search(back).group(1))


def test_lift_widens_the_corridor(page, press):
    """More lift for the drag, and a shallower edge that still holds on."""
    edges = re.compile(r"corridor (-[\d.]+) to (-[\d.]+) deg")
    more = edges.search(press(page, "lift over drag", "ArrowRight"))
    less = edges.search(press(page, "lift over drag", "ArrowLeft"))
    assert float(more.group(2)) - float(more.group(1)) > (
        float(less.group(2)) - float(less.group(1))
    )
