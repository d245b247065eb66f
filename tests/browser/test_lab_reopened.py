"""A workbook after its kernel is gone: panels leave their last words and pictures."""

from __future__ import annotations

import pytest

expect = pytest.importorskip("playwright.sync_api").expect

MISSION = "01_whole_mission.ipynb"
LARGEST = 2_000_000  # bytes of a saved workbook
KEPT = ".mplan-stand-in"
PATIENCE = 60_000  # ms


@pytest.fixture(scope="module")
def page(run_workbook):
    """The whole mission, its payload moved by two steps, the second undone; and that kept."""
    page = run_workbook(MISSION)
    page.foreseen.append("widget model not found")  # a panel whose kernel is gone
    slider = page.locator(".widget-slider", has_text="payload down").locator(".noUi-handle")
    box = page.locator(".mplan-control", has_text="payload down").locator("input[type=number]")
    values = [box.input_value()]
    for _ in range(2):
        slider.press("ArrowRight")
        expect(box).not_to_have_value(values[-1], timeout=PATIENCE)
        values.append(box.input_value())
        until_kept(page, values[-1])
    page.locator(".mplan-panel").get_by_role("button", name="Undo").click()
    page.value = values[1]
    until_kept(page, page.value)
    expect(box).to_have_value(page.value)
    slider.focus()
    return page


def until_kept(page, value: str) -> None:
    """Wait until the words and pictures of a payload are what stands in."""
    page.wait_for_function(
        """([kept, value]) => [...document.querySelectorAll(kept)].some(
            x => x.querySelectorAll('img').length >= 3 && x.textContent.includes(value + ' kg'))""",
        arg=[KEPT, value],
        timeout=PATIENCE,
    )


def kept(page):
    return page.locator(KEPT, has_text=f"{page.value} kg")


def test_out_of_sight_while_the_panel_is_there(page):
    """Keeping neither shows anything, nor takes the keys from the slider, nor moves the page."""
    place = page.locator(".noUi-handle").first.bounding_box()
    page.wait_for_timeout(1500)
    assert page.locator(".noUi-handle").first.bounding_box() == place
    assert not kept(page).is_visible()
    assert page.evaluate("document.activeElement.className").startswith("noUi-handle")


def test_little_is_saved(page, outputs, server):
    """Words, pictures and all are a small file."""
    outputs(page, MISSION)
    assert (server[2] / MISSION).stat().st_size < LARGEST


def stands_in(page, reach):
    """Look at what there is in place of the panel."""
    found = reach(page, kept(page))
    found.get_by_text("Run this cell in JupyterLab to move the sliders").wait_for(timeout=PATIENCE)
    wide = found.locator("img").evaluate_all("all => all.map(x => x.naturalWidth)")
    assert len(wide) == 3
    assert min(wide) > 600
    assert not page.get_by_text("Error displaying widget").locator("visible=true").count()
    assert not page.locator(".noUi-handle").locator("visible=true").count()


def test_after_a_restart_of_the_kernel(page, reach):
    page.get_by_role("menuitem", name="Kernel", exact=True).click()
    page.get_by_text("Restart Kernel…", exact=True).click()
    page.get_by_role("button", name="Confirm Kernel Restart").click()
    stands_in(page, reach)


def test_reopened_without_a_kernel(page, server, reach):
    """Saved, its kernel ended, and opened anew."""
    token = f"token={server[1]}"
    for session in page.request.get(f"{server[0]}api/sessions?{token}").json():
        page.request.delete(f"{server[0]}api/sessions/{session['id']}?{token}")
    page.goto(f"{server[0]}lab/tree/{MISSION}?token={server[1]}")
    page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=PATIENCE)
    page.get_by_text("Python 3 | Idle").wait_for(timeout=PATIENCE)
    page.wait_for_timeout(2000)
    stands_in(page, reach)
