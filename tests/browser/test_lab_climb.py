"""JupyterLab on the climb: all cells run clean, and keys on its sliders move words and curves.

The stack itself has its panel tried in test_lab_stack.py.
"""

from __future__ import annotations

import re

import pytest

NAME = "05_the_climb.ipynb"


@pytest.fixture(scope="module")
def page(run_workbook):
    return run_workbook(NAME)


def test_every_cell_runs_clean(page, outputs):
    """No cell ends in an error or writes a warning, and pictures and tables are there."""
    found = outputs(page, NAME)
    assert not [x for x in found if x["output_type"] in ("error", "stream")]
    kinds = [kind for output in found for kind in output.get("data", ())]
    assert kinds.count("application/vnd.plotly.v1+json") >= 8
    assert kinds.count("text/html") >= 10


def test_a_key_moves_the_climb(page, press):
    """Another parking orbit is reached, and its curve drawn; the other way round it comes back."""
    curve = page.locator(".widget-hbox .js-plotly-plot").first
    drawn = curve.inner_html()
    assert "190 km orbit reached" in press(page, "parking orbit", "ArrowRight")
    assert curve.inner_html() != drawn
    assert "185 km orbit reached" in press(page, "parking orbit", "ArrowLeft")


def test_payload_is_paid_for(page, press):
    """More payload leaves less in the stage that injects, in the words and as the bars say."""
    left = re.compile(r"propellant left ([\d.]+) t")
    light = float(left.search(press(page, "payload down", "ArrowLeft")).group(1))
    heavy = float(left.search(press(page, "payload down", "ArrowRight")).group(1))
    assert heavy < light


def test_what_is_out_of_range_is_refused(page):
    """A parking orbit in the air is refused in a sentence that says what is accepted."""
    box = page.locator(".widget-text input[type=number]").first
    box.fill("90")
    box.press("Enter")
    alert = page.locator(".widget-html-content [role=alert]").first
    alert.wait_for(timeout=10_000)
    assert "150 km" in alert.inner_text()
    box.fill("185")
    box.press("Enter")
    alert.wait_for(state="detached", timeout=10_000)


def test_names_are_not_cut_off(page):
    """Every slider's name is as wide as its words, and none has empty brackets for a unit."""
    labels = page.locator(".widget-hbox .widget-slider .widget-label")
    cut = labels.evaluate_all("all => all.filter(x => x.scrollWidth > x.clientWidth + 1).length")
    assert cut == 0
    assert not [text for text in labels.all_inner_texts() if "[]" in text]
