"""A lesson as a learner sees it: run, move a slider, answer a question."""

from __future__ import annotations

import pytest

LESSON = "lessons/1_leaving_for_the_moon.ipynb"
NARROW = {"width": 1280, "height": 1000}  # with the file list, the least that fits


@pytest.fixture(scope="module")
def page(run_workbook):
    page = run_workbook(LESSON)
    page.set_viewport_size(NARROW)
    return page


def test_a_key_moves_words_and_picture(page):
    """An arrow key on the slider of the last picture: another declination, another picture."""
    panel = page.locator(".jp-OutputArea-output", has_text="declination [deg]").last
    picture = panel.locator(".js-plotly-plot")
    before = picture.inner_html()
    panel.locator(".noUi-handle").press("ArrowRight")
    panel.get_by_text("The Moon 11 deg north of the equator").wait_for(timeout=20_000)
    page.wait_for_timeout(500)  # the picture comes after the words
    assert picture.inner_html() != before


def test_nothing_is_cut_off(page):
    """No output of what is in sight is wider than its place."""
    wide = page.evaluate(
        """() => [...document.querySelectorAll('.jp-OutputArea-output')]
            .filter(x => x.scrollWidth > x.clientWidth + 2).map(x => x.innerText.slice(0, 60))"""
    )
    assert wide == []


def test_an_answer_is_judged_where_it_is_given(page):
    """Dots replaced and the cell run again: right or wrong stands below it."""
    cell = page.locator(".jp-CodeCell", has_text="check_turn")
    cell.locator(".cm-content").click()
    page.keyboard.press("Control+a")
    page.keyboard.type('leaving.check_turn("2.71 km/s", altitude="185 km", angle="10 deg")')
    page.keyboard.press("Control+Enter")
    cell.get_by_text("the angle is not halved").wait_for(timeout=20_000)
    assert "99 % too large" in cell.inner_text()


def test_no_news_and_nothing_from_outside(page):
    hosts = {url.split("/")[2].split(":")[0] for url in page.asked if "://" in url}
    assert hosts <= {"127.0.0.1"}
