"""JupyterLab on the stack: an arrow key shortens a stage, and picture and figures follow."""

from __future__ import annotations

import re

import pytest

LINE = ".mplan-words .widget-html-content"


@pytest.fixture(scope="module")
def page(run_workbook):
    return run_workbook("04_the_stack.ipynb")


def height(page) -> float:
    return float(re.search(r"height ([\d.]+) m", page.locator(LINE).first.inner_text()).group(1))


def test_keys_shorten_a_stage(page):
    """An arrow key on the first slider takes 5 cm off the stack, and it is drawn anew."""
    picture = page.locator(".widget-hbox .js-plotly-plot").first
    before, drawn = height(page), picture.inner_html()
    page.locator(".noUi-handle").first.press("ArrowRight")
    page.wait_for_function(
        "([where, before]) => !document.querySelector(where).innerText.includes(before)",
        arg=[LINE, f"height {before:.2f} m"],
        timeout=20_000,
    )
    assert height(page) == pytest.approx(before - 0.05, abs=0.011)
    page.wait_for_timeout(300)
    assert picture.inner_html() != drawn


def test_names_are_not_cut_off(page):
    """Every slider's name is as wide as its words."""
    labels = page.locator(".widget-hbox .widget-slider .widget-label")
    cut = labels.evaluate_all("all => all.filter(x => x.scrollWidth > x.clientWidth + 1).length")
    assert labels.count() >= 10
    assert cut == 0
