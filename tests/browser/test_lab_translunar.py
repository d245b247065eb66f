"""JupyterLab on the way there: keys move the pictures, a scan runs, stops and leaves its rows."""

from __future__ import annotations

import re

import pytest

PATIENCE = 60_000  # ms
LINE = ".mplan-words .widget-html-content"


@pytest.fixture(scope="module")
def page(run_workbook):
    return run_workbook("02_translunar.ipynb")


def figures(page) -> str:
    return page.locator(LINE).first.inner_text()


def changed(page, before: str) -> str:
    """Wait until the line of figures is another one, and return it."""
    page.wait_for_function(
        "([where, before]) => document.querySelector(where).innerText !== before",
        arg=[LINE, before],
        timeout=PATIENCE,  # that it moves; how fast, with nothing beside it, tests/bench tells
    )
    return figures(page)


def button(page, name: str):
    return page.locator(".jupyter-button", has_text=name)


def test_keys_move_a_slider(page):
    """An arrow key on the launch day flies another day: figures and pictures follow."""
    picture = page.locator(".widget-hbox .js-plotly-plot").first
    before, drawn = figures(page), picture.inner_html()
    page.locator(".noUi-handle").first.press("ArrowRight")
    after = changed(page, before)
    day = re.compile(r"lift-off (\d{4}-\d\d-\d\d)")
    assert day.search(after).group(1) > day.search(before).group(1)
    page.wait_for_timeout(300)
    assert picture.inner_html() != drawn


def test_keys_reach_the_choices(page):
    """The side is chosen without a mouse."""
    before = figures(page)
    page.locator(".widget-toggle-button", has_text=re.compile("^ascending")).first.press("Space")
    assert "Not flown" not in changed(page, before)


def test_a_scan_is_stopped_and_keeps_its_rows(page):
    """Progress is shown, a slider moves meanwhile, and Stop leaves calendar and table."""
    button(page, "Windows of the month").click()
    page.locator("text=/[1-9]\\d* of 30 days flown/").wait_for(timeout=PATIENCE)
    before = figures(page)
    page.locator(".noUi-handle").first.press("ArrowLeft")
    changed(page, before)
    button(page, "Stop").click()
    said = page.locator("text=/Stopped at \\d+ of 30 days/")
    said.wait_for(timeout=PATIENCE)
    count = int(re.search(r"Stopped at (\d+)", said.inner_text()).group(1))
    assert 1 <= count < 30
    rows = page.locator(".widget-html-content tbody tr")
    assert 1 <= rows.count() <= 4 * count, "a row for each window, at most two a side"
    bars = page.locator(".widget-vbox .js-plotly-plot .barlayer .point")
    bars.first.wait_for(timeout=PATIENCE)
    assert bars.count() == rows.count()
    assert button(page, "Windows of the month").is_enabled()


def test_nothing_from_outside(page):
    """Only the server on this machine was spoken to."""
    hosts = {url.split("/")[2].split(":")[0] for url in page.asked if "://" in url}
    assert hosts <= {"127.0.0.1"}
