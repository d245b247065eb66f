"""The what-if of a report, opened from disk: moved by keys on a desk, by touch on a phone."""

from __future__ import annotations

import pytest

import mplan
from mplan.report import what_if
from mplan.report.what_if import combinations

SIZES = {"desk": (1280, 900), "phone": (390, 844)}
MOST = 40
POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"


@pytest.fixture(scope="module")
def file(landing_plan, tmp_path_factory):
    told = what_if.fly(landing_plan, most=MOST)
    page = tmp_path_factory.mktemp("what_if") / "page.html"
    head = (
        '<!DOCTYPE html><html lang="en"><meta charset="utf-8"><title>what if</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
    )
    page.write_text(f"{head}<main>{what_if.section(told)}</main>", encoding="utf-8")
    return page


@pytest.fixture(params=SIZES)
def view(request, browser, file):
    """The page on a desk and on a phone; requests and complaints are kept beside it."""
    width, height = SIZES[request.param]
    touch = request.param == "phone"
    scheme = "dark" if touch else "light"
    size = {"width": width, "height": height}
    context = browser.new_context(viewport=size, has_touch=touch, color_scheme=scheme)
    page = context.new_page()
    page.touch, page.asked, page.complaints = touch, [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda problem: page.complaints.append(str(problem)))
    page.goto(file.as_uri())
    yield page
    assert [url for url in page.asked if not url.startswith("file:")] == []
    assert page.complaints == []
    context.close()


def moved_on(view, title: str) -> None:
    """Set a slider two stops further by the means of the device."""
    slider = view.get_by_role("slider", name=title)
    if not view.touch:
        slider.focus()
        slider.press("ArrowRight")
        slider.press("ArrowRight")
        return
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    last, value = int(slider.get_attribute("max")), int(slider.input_value())
    share = (value + 2) / last
    view.touchscreen.tap(box["x"] + 8 + share * (box["width"] - 16), box["y"] + box["height"] / 2)


def pictures(view) -> list[str]:
    return [view.locator(f".wi-{x}").inner_html() for x in ("budget", "days", "path", "numbers")]


def test_a_move_changes_words_numbers_and_pictures(view, landing_plan):
    """What a longer stay shows are the verdict, the figures and the splash of that flight."""
    before = pictures(view)
    slider = view.get_by_role("slider", name="surface stay")
    home = slider.get_attribute("aria-valuetext")
    assert home.endswith(", as in the plan")
    moved_on(view, "surface stay")
    stay = slider.get_attribute("aria-valuetext")
    assert stay != home
    assert stay.endswith(" h")
    flown = mplan.fly(landing_plan.scenario.change("mission.surface_stay", stay), like=landing_plan)
    said = view.locator(".wi-head").inner_text()
    assert f"Shown: surface stay {stay}, flown" in said
    assert flown.verdict.partition(": ")[2] in said
    after = pictures(view)
    assert all(x != y for x, y in zip(before, after, strict=True))
    splash = view.get_by_role("rowheader", name="splash", exact=True).locator("..").inner_text()
    assert f"{flown.flight.utc(flown.flight.duration):%Y-%m-%d}" in splash


def test_back_to_the_plan(view):
    """Each slider has its reset, and there is one for all; both lead to what was first there."""
    before = pictures(view)
    for reset in ("Set surface stay back to the plan's", "All sliders back to the plan"):
        moved_on(view, "surface stay")
        button = view.get_by_role("button", name=reset)
        assert button.bounding_box()["height"] >= 40, "a finger finds it"
        button.tap() if view.touch else button.press("Enter")
        assert pictures(view) == before
        assert button.is_disabled()


def test_what_was_not_flown_is_said(view, landing_plan):
    """Three levers at once were not flown: the last one moved is shown alone, and a way out."""
    for title in ("time to the Moon", "surface stay", "launch day"):
        moved_on(view, title)
    said = view.locator(".wi-said").inner_text()
    assert said.startswith("Not flown: ")
    assert "alone, all else as in the plan" in said
    shown = view.locator("#what-if").get_attribute("data-shown").split(" ")
    home = [str(x) for x in combinations.chosen(landing_plan, MOST).home]
    assert sum(x != y for x, y in zip(shown, home, strict=True)) == 1
    slider = view.get_by_role("slider", name="launch day")
    assert "not flown" in slider.get_attribute("aria-valuetext")


def test_nothing_is_wider_than_the_page(view):
    moved_on(view, "surface stay")
    wide = view.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0
    outside = """() => [...document.querySelectorAll('#what-if *')].filter(x => {
        const box = x.getBoundingClientRect();
        return box.width && (box.left < -1 || box.right > innerWidth + 1);
    }).map(x => x.className)"""
    assert view.evaluate(outside) == []


def test_every_slider_is_named(view):
    """Names, values with their units, and the keys that reach all of them."""
    sliders = view.get_by_role("slider").all()
    assert len(sliders) == 5
    for slider in sliders:
        label = view.locator(f"label[for={slider.get_attribute('id')}]").inner_text()
        assert label
        assert any(x.isdigit() for x in slider.get_attribute("aria-valuetext"))


def test_paper_has_what_was_set(view):
    """Printed at the plan it is one sentence; once a slider was moved, what it shows."""
    view.emulate_media(media="print")
    budget, paper = view.locator(".wi-budget"), view.locator(".wi-paper")
    assert paper.is_visible()
    assert not budget.is_visible()
    view.emulate_media(media="screen")
    assert not paper.is_visible()
    moved_on(view, "surface stay")
    view.emulate_media(media="print")
    assert budget.is_visible()
    assert "Shown: surface stay" in view.locator(".wi-said").inner_text()
