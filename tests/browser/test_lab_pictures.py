"""Pictures of cells in JupyterLab: as wide as their cell, dressed as the page, to be saved."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from mplan.cautions import CAUTIONS

PICTURE = ".mplan-cell .js-plotly-plot"
BARS = f"{PICTURE}[aria-label^='Delta-v of']"
# Of what is in sight: JupyterLab lays out no other cells.
BOXES = f"""() => [...document.querySelectorAll("{PICTURE}")].filter((plot) => {{
  const box = plot.getBoundingClientRect();
  return box.bottom > 100 && box.top < innerHeight - 100;
}}).map((plot) => {{
  const out = plot.closest(".jp-OutputArea-output").getBoundingClientRect();
  const box = plot.getBoundingClientRect();
  const cut = [...plot.querySelectorAll("text")].filter((x) => {{
    const its = x.getBoundingClientRect();
    return its.width && (its.left < box.left - 1 || its.right > box.right + 1);
  }});
  const svg = plot.querySelector(".main-svg").getBoundingClientRect();
  return {{ width: svg.width, room: out.width, cut: cut.map((x) => x.textContent) }};
}})"""


@pytest.fixture(scope="module")
def page(open_workbook, reach):
    """The workbook of the whole mission, run, its bars in sight."""
    opened = open_workbook("01_whole_mission.ipynb")
    reach(opened, opened.locator(BARS))
    return opened


def shown(page, width, files):
    """Set the window's width and the file list, and return the boxes of the pictures in sight."""
    page.set_viewport_size({"width": width, "height": 1000})
    if page.locator("#jp-left-stack").is_visible() != files:
        page.keyboard.press("Control+b")
    for _ in range(40):  # until the page has found its widths
        page.wait_for_timeout(250)
        boxes = page.evaluate(BOXES)
        if all(abs(box["width"] - box["room"]) <= 1.0 for box in boxes):
            break
    return boxes


@pytest.mark.parametrize("files", [True, False], ids=["beside the file list", "alone"])
@pytest.mark.parametrize("width", [1280, 1440])
def test_pictures_fill_their_cells(page, reach, width, files):
    """Each is as wide as its output, and no word is cut off, whatever the window."""
    shown(page, width, files)
    reach(page, page.locator(BARS))
    boxes = shown(page, width, files)
    assert boxes
    for box in boxes:
        assert box["width"] == pytest.approx(box["room"], abs=1.0)
        assert not box["cut"]


def test_the_pointer_changes_nothing(page, reach):
    """There is no other picture in place of the first when the pointer comes."""
    bars = reach(page, page.locator(BARS))
    before = bars.bounding_box()
    bars.hover()
    page.wait_for_timeout(500)
    assert bars.bounding_box() == before
    assert not page.locator(".jp-OutputArea-output img.plot-img:visible").count()


@pytest.mark.parametrize("kind", ["PNG", "SVG"])
def test_a_picture_is_saved_from_the_keyboard(page, reach, kind):
    """Its button has the focus, Enter saves: a file named by mission and picture, with caution."""
    place = reach(page, page.locator(f".mplan-cell:has({BARS.removeprefix('.mplan-cell')})"))
    button = place.get_by_role("button", name=f"Save this picture as {kind}")
    button.focus()
    with page.expect_download() as waiting:
        page.keyboard.press("Enter")
    saved = waiting.value
    assert saved.suggested_filename == f"first_landing_budget_bars.{kind.lower()}"
    content = Path(saved.path()).read_bytes()
    if kind == "SVG":
        assert CAUTIONS[0] in content.decode("utf-8")
    else:
        picture = Image.open(io.BytesIO(content))
        assert picture.width == pytest.approx(
            2 * place.locator(".main-svg").first.bounding_box()["width"], abs=2
        )
        assert len(picture.convert("RGB").getcolors(1 << 20)) > 10


def test_pictures_follow_the_theme(page, reach):
    """With the dark theme papers are dark and words light, and back again, without a run."""
    colours = """(plot) => [plot.querySelector(".main-svg"), plot.querySelector(".xtick text")].map(
        (x, i) => getComputedStyle(x)[["backgroundColor", "fill"][i]])"""
    bars = reach(page, page.locator(BARS))
    light = bars.evaluate(colours)
    page.evaluate("() => { document.body.dataset.jpThemeLight = 'false' }")
    dark = bars.evaluate(colours)
    page.evaluate("() => { document.body.dataset.jpThemeLight = 'true' }")
    assert light == ["rgb(255, 255, 255)", "rgb(26, 26, 26)"]
    assert dark == ["rgb(17, 17, 17)", "rgb(238, 238, 238)"]
    assert bars.evaluate(colours) == light
