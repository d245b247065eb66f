"""JupyterLab as a planner sees it: run the workbook, move a slider, type a number."""

from __future__ import annotations

import re

import pytest

VERDICT = ".widget-html-content:has([role=status])"


@pytest.fixture(scope="module")
def page(run_workbook):
    """The workbook, run from top to bottom, with the panel in sight."""
    return run_workbook("01_whole_mission.ipynb")


def words(page) -> str:
    return page.locator(VERDICT).first.inner_text()


def changed(page, before: str) -> str:
    """Wait until the words of the panel are other ones, and return them."""
    page.wait_for_function(
        """([where, before]) => [...document.querySelectorAll('.widget-html-content')]
            .some(x => x.querySelector('[role=status]') && x.innerText !== before)""",
        arg=[VERDICT, before],
        timeout=10_000,
    )
    return words(page)


def test_no_news_and_nothing_from_outside(page):
    """No pop-up asks for news, and only the server on this machine was spoken to."""
    hosts = {url.split("/")[2].split(":")[0] for url in page.asked if "://" in url}
    assert hosts <= {"127.0.0.1"}
    assert page.get_by_text("Would you like to").count() == 0


def test_a_key_moves_everything(page):
    """An arrow key on a slider flies the mission again: words and figure follow."""
    bars = page.locator(".widget-hbox .js-plotly-plot").first
    picture = bars.inner_html()
    took = []
    for _ in range(5):
        before = settled(page)
        page.evaluate(STOPWATCH)
        page.locator(".noUi-handle").first.press("ArrowRight")
        changed(page, before)
        took.append(page.evaluate("window.took"))
    print(f"key to changed words: {sorted(round(x) for x in took)} ms")
    page.wait_for_timeout(300)
    assert bars.inner_html() != picture


STOPWATCH = """() => {
    const words = [...document.querySelectorAll('.widget-html-content')]
        .find(x => x.querySelector('[role=status]')).closest('.widget-html');
    let pressed = 0;
    window.addEventListener('keydown', () => { pressed = performance.now(); },
        {once: true, capture: true});
    new MutationObserver((_, watch) => {
        watch.disconnect(); window.took = performance.now() - pressed;
    }).observe(words, {subtree: true, childList: true, characterData: true});
}"""


def settled(page) -> str:
    """Wait until the climb is optimised for what the sliders stand at, and return the words."""
    page.get_by_text("The climb is optimised").first.wait_for(timeout=20_000)
    return words(page)


def test_the_climb_is_optimised_once_the_sliders_rest(page):
    """A move says whose steering it keeps, and some moments later that it keeps none."""
    page.locator(".noUi-handle").first.press("ArrowRight")
    page.get_by_text("it is optimised as soon as the sliders rest").first.wait_for(timeout=10_000)
    assert "steered as" not in settled(page)


def type_into_box(page, text: str) -> None:
    box = page.locator(".widget-text input[type=number]").first
    box.fill(text)
    box.press("Enter")


def test_a_typed_number_is_flown(page):
    before = settled(page)
    type_into_box(page, "222")
    assert re.search(r"[Ll]ift-off \d{4}-\d\d-\d\d", changed(page, before))
    page.get_by_text("it is optimised as soon as the sliders rest").first.wait_for(timeout=10_000)
    after = settled(page)
    page.wait_for_timeout(500)  # a slider that snaps to its step would have done so by now
    assert page.locator(".widget-text input[type=number]").first.input_value() == "222"
    assert words(page) == after


def test_what_cannot_be_flown_is_said(page):
    """A number out of range is refused in a sentence; the picture stays; the next number flies."""
    before = words(page)
    type_into_box(page, "3000")
    alert = page.locator(".widget-html-content [role=alert]").first
    alert.wait_for(timeout=10_000)
    assert "from 150 km to 2000 km" in alert.inner_text()
    assert words(page) == before
    type_into_box(page, "185")
    alert.wait_for(state="detached", timeout=10_000)


def test_every_figure_is_drawn(page):
    """The panel's three figures have their marks, not empty axes."""
    assert page.locator(".widget-hbox .js-plotly-plot .cartesianlayer .subplot").count() >= 3
    assert page.locator(".widget-hbox .js-plotly-plot .barlayer .point").count() > 20
