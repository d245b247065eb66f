"""JupyterLab on the landing and on the entry: cells run, keys move words and pictures."""

from __future__ import annotations

import re

import pytest

MOON, AIR = "06_at_the_moon.ipynb", "07_through_the_air.ipynb"


@pytest.fixture(scope="module")
def pages(run_workbook):
    """Both workbooks, run to their last cell, which comes only where no cell before it fails."""
    return {name: run_workbook(name) for name in (MOON, AIR)}


def test_every_cell_runs_clean(pages, outputs):
    """No cell of the entry ends in an error or writes a warning, and pictures are there."""
    found = outputs(pages[AIR], AIR)
    assert not [x for x in found if x["output_type"] in ("error", "stream")]
    kinds = [kind for output in found for kind in output.get("data", ())]
    assert kinds.count("application/vnd.plotly.v1+json") >= 4


def test_a_longer_hover_is_paid_for(pages, press):
    """Five seconds more, and the descent takes longer and costs more."""
    picture = pages[MOON].locator(".widget-hbox .js-plotly-plot").last
    drawn = picture.inner_html()
    burn = re.compile(r"powered descent ([\d,]+) m/s in (\d+) s")
    long = burn.search(press(pages[MOON], re.compile("^hover"), "ArrowRight"))
    assert picture.inner_html() != drawn
    short = burn.search(press(pages[MOON], re.compile("^hover"), "ArrowLeft"))
    assert int(long.group(2)) == int(short.group(2)) + 5
    assert long.group(1) > short.group(1)


def test_the_choice_is_not_cut_off(pages):
    """The words on the buttons are whole."""
    buttons = pages[MOON].locator(".widget-toggle-button")
    cut = buttons.evaluate_all("all => all.filter(x => x.scrollWidth > x.clientWidth + 1).length")
    assert buttons.count() == 2
    assert cut == 0


def test_a_steeper_entry_is_harder(pages, press):
    """A key down the scale is 0.05 deg steeper, with more load; the corridor is drawn anew."""
    picture = pages[AIR].locator(".widget-hbox .js-plotly-plot").first
    drawn = picture.inner_html()
    steep = press(pages[AIR], "entry angle", "PageDown")
    assert picture.inner_html() != drawn
    back = press(pages[AIR], "entry angle", "PageUp")
    load = re.compile(r"largest load ([\d.]+) g")
    assert float(load.search(steep).group(1)) > float(load.search(back).group(1))


def test_lift_widens_the_corridor(pages, press):
    """More lift for the drag, and a shallower edge that still holds on."""
    edges = re.compile(r"corridor (-[\d.]+) to (-[\d.]+) deg")
    more = edges.search(press(pages[AIR], "lift over drag", "ArrowRight"))
    less = edges.search(press(pages[AIR], "lift over drag", "ArrowLeft"))
    assert float(more.group(2)) - float(more.group(1)) > (
        float(less.group(2)) - float(less.group(1))
    )
