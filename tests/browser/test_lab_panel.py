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
    assert "Compared with the file" in changed(page, before)
    assert page.get_by_text(re.compile(r"^lift-off \d{4}-\d\d-\d\d")).count()
    page.get_by_text("it is optimised as soon as the sliders rest").first.wait_for(timeout=10_000)
    after = settled(page)
    page.wait_for_timeout(500)  # a slider that snaps to its step would have done so by now
    assert page.locator(".widget-text input[type=number]").first.input_value() == "222"
    assert words(page) == after


def places(page) -> list[object]:
    """Return where sliders, verdict and pictures of the panel stand."""
    return page.evaluate(PLACES)


PLACES = """() => [...document.querySelectorAll(
    '.mplan-control, .mplan-verdict, .mplan-panel .js-plotly-plot')].map((x) => {
        const { x: left, y, width, height } = x.getBoundingClientRect();
        return [left, y, width, height];
    })"""


def test_what_cannot_be_flown_is_said(page):
    """A number out of range is refused in a sentence; the picture stays; the next number flies."""
    before = settled(page)
    stood = places(page)
    type_into_box(page, "3000")
    alert = page.locator(".widget-html-content [role=alert]").first
    alert.wait_for(timeout=10_000)
    assert "from 150 km to 2000 km" in alert.inner_text()
    assert words(page) == before
    assert places(page) == stood, "nothing jumps"
    type_into_box(page, "185")
    alert.wait_for(state="detached", timeout=10_000)


def test_every_figure_is_drawn(page):
    """The panel's three figures have their marks, not empty axes."""
    assert page.locator(".widget-hbox .js-plotly-plot .cartesianlayer .subplot").count() >= 3
    assert page.locator(".widget-hbox .js-plotly-plot .barlayer .point").count() > 20


def values(page) -> list[str]:
    return [box.input_value() for box in page.locator(".mplan-control input[type=number]").all()]


def turn(page, label: str, key: str) -> None:
    """Press a key on the slider of a name, and wait until its box has another number."""
    before = values(page)
    page.get_by_role("slider", name=label).press(key)
    expect_values(page, lambda now: now != before)


def expect_values(page, right) -> None:
    for _ in range(100):
        if right(values(page)):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"boxes stand at {values(page)}")


def test_steps_go_back_and_forth(page):
    """Undo and redo take the sliders along, a step each."""
    button = {name: page.get_by_role("button", name=name) for name in ("Undo", "Redo")}
    first = values(page)
    turn(page, "lunar orbit", "ArrowRight")
    page.wait_for_timeout(1000)
    second = values(page)
    turn(page, "payload down", "ArrowRight")
    button["Undo"].click()
    expect_values(page, lambda now: now == second)
    button["Undo"].click()
    expect_values(page, lambda now: now == first)
    button["Redo"].click()
    expect_values(page, lambda now: now == second)
    button["Undo"].click()
    expect_values(page, lambda now: now == first)


def test_a_moved_slider_has_its_own_way_back(page):
    """It is marked, its button takes it back, and the mark goes."""
    first = values(page)
    turn(page, "payload down", "ArrowRight")
    moved = page.locator(".mplan-moved", has_text="payload down")
    moved.wait_for(timeout=10_000)
    moved.get_by_role("button").click()
    expect_values(page, lambda now: now == first)
    moved.wait_for(state="detached", timeout=10_000)


def test_a_pinned_state_is_compared_with(page):
    """Pinned, what is shown is the state that the next move is compared with."""
    verdict = page.locator(".mplan-verdict")
    turn(page, "payload down", "ArrowRight")
    verdict.get_by_text("Compared with the file").wait_for(timeout=30_000)
    page.wait_for_timeout(3000)  # the climb is optimised meanwhile, and what is shown kept
    page.get_by_role("button", name=re.compile(r"\bPin$")).click()
    verdict.get_by_text("As in the pinned state.").wait_for(timeout=30_000)
    page.wait_for_timeout(1000)  # pictures come after words
    turn(page, "payload down", "ArrowRight")
    verdict.get_by_text("Compared with the pinned state").wait_for(timeout=30_000)
    page.get_by_role("button", name="Unpin").click()
    verdict.get_by_text("Compared with the file").wait_for(timeout=30_000)
    page.get_by_role("button", name="Back to the file").click()
    verdict.get_by_text("As in the file.").wait_for(timeout=30_000)


def test_everything_to_turn_has_a_name(page):
    """Handles, boxes and buttons are named for those who hear the page, values with their unit."""
    sliders = page.locator(".mplan-board [role=slider]").all()
    assert len(sliders) > 5
    for each in sliders:
        assert re.search(r"\w \[\w+\]$", each.get_attribute("aria-label"))
        assert re.search(r"^-?[\d.]+ \w+$", each.get_attribute("aria-valuetext"))
    handle = page.get_by_role("slider", name="payload down")
    turn(page, "payload down", "PageUp")
    number = handle.locator("xpath=ancestor::*[contains(@class, 'mplan-control')]").locator("input")
    assert handle.get_attribute("aria-valuetext") == f"{number.input_value()} kg"
    for box in page.locator(".mplan-board input[type=number]").all():
        assert box.get_attribute("aria-label").endswith(", number")
    for button in page.locator(".mplan-board button").all():
        assert button.inner_text().strip() or button.get_attribute("title")


@pytest.mark.parametrize("width", [1280, 1440])
@pytest.mark.parametrize("files", [True, False])
def test_verdict_budget_and_path_stay_in_view(page, width, files):
    """Scrolled to the panel, sliders, verdict, budget and path are on the page together."""
    page.set_viewport_size({"width": width, "height": 900})
    page.get_by_role("tab", name="01_whole_mission").click()
    if page.locator("#filebrowser").is_visible() != files:
        page.keyboard.press("Control+b")
    page.wait_for_timeout(1000)
    page.evaluate("document.querySelector('.mplan-panel').scrollIntoView({block: 'start'})")
    page.wait_for_timeout(500)
    panel = page.locator(".mplan-panel").bounding_box()
    assert page.locator("#filebrowser").is_visible() == files
    boxes = [x.bounding_box() for x in page.locator(".mplan-panel .js-plotly-plot").all()[:2]]
    assert all(box["y"] + 300 < 900 for box in boxes), "most of both is on the page"
    assert boxes[0]["y"] == pytest.approx(boxes[1]["y"], abs=2), "side by side"
    assert boxes[1]["x"] + boxes[1]["width"] <= panel["x"] + panel["width"] + 2
