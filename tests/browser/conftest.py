"""A real browser, where there is one; continuous integration (CI set) must have one."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from contextlib import suppress
from functools import partial
from urllib.parse import urlsplit

import pytest

PATIENCE = 180_000  # ms: a kernel starts and the workbook runs, ten days of windows and all
RESTS = 700  # ms without new words, after which all of a move are there

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")
SAVING = "@jupyterlab/docmanager-extension/plugin.jupyterlab-settings"
QUIET = (
    "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run "
    "--disable-background-networking --disable-component-update --disable-sync"
)

WITHOUT_DIFFERENCES = """(line) => {
    const copy = line.cloneNode(true);
    copy.querySelectorAll("[role=img]").forEach((x) => x.remove());
    return copy.innerText.replace(/ +/g, " ");
}"""


@pytest.fixture(scope="session")
def browser():
    found = next(filter(None, map(shutil.which, NAMES)), None)
    if found is None and not os.environ.get("CI"):
        pytest.skip("no Chromium on this machine")
    assert found, f"none of {', '.join(NAMES)} on the path"
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=found, args=QUIET.split())
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def server(tmp_path_factory, first_landing):
    """JupyterLab on a working copy, started as `mplan lab` does: its address, token and folder.

    It saves nothing by itself: the server has no file while it writes it, and a save that meets
    another's ends in a dialog, which takes all keys.
    """
    folder, runtime = tmp_path_factory.mktemp("work"), tmp_path_factory.mktemp("runtime")
    setting = folder / ".lab" / "settings" / SAVING
    setting.parent.mkdir(parents=True)
    setting.write_text(json.dumps({"autosave": False}))
    source = str(first_landing.source.resolve())
    code = (
        "from mplan import lab; import sys; "
        f"sys.exit(lab.start({source!r}, folder={str(folder)!r}, browser=False))"
    )
    environment = {**os.environ, "JUPYTER_RUNTIME_DIR": str(runtime)}
    with (folder / "log.txt").open("w") as log:
        run = subprocess.Popen([sys.executable, "-c", code], env=environment, stderr=log)
        info = _wait_for(runtime, run)
        yield info["url"], info["token"], folder
        run.send_signal(signal.SIGINT)
        assert run.wait(60) == 130, "an interruption ends the server in good order"


def _wait_for(runtime, run) -> dict:
    for _ in range(900):
        if files := list(runtime.glob("jpserver-*.json")):
            with suppress(json.JSONDecodeError):  # it is being written
                return json.loads(files[0].read_text("utf-8"))
        assert run.poll() is None, "the server did not start"
        time.sleep(0.1)
    raise AssertionError("no server after 90 s")


def _until_run(page) -> None:
    """Wait until the kernel has had nothing to do for two seconds and no cell is waited for."""
    idle = page.get_by_text("Python 3 | Idle")
    waited_for = page.locator(".jp-InputPrompt", has_text="[*]:")
    quiet = 0
    for _ in range(PATIENCE // 250):
        page.wait_for_timeout(250)
        quiet = quiet + 1 if idle.count() and not waited_for.count() else 0
        if quiet == 8:
            return
    raise AssertionError("the workbook did not come to its end")


@pytest.fixture(scope="module")
def open_workbook(server, browser):
    """Return a function that opens a workbook and runs all of it.

    In the end no page may have complained, but of what its test has `foreseen` with a reason, nor
    asked anything of another machine.
    """
    pages = []

    def run(name):
        page = browser.new_page(viewport={"width": 1400, "height": 1000})
        pages.append(page)
        page.asked, page.complaints, page.foreseen = [], [], []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("pageerror", lambda problem: page.complaints.append(str(problem)))
        page.on("console", lambda said: _listen(page, said))
        page.goto(f"{server[0]}lab/tree/{name}?token={server[1]}")
        page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=PATIENCE)
        page.get_by_text("Python 3 | Idle").wait_for(timeout=PATIENCE)
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.get_by_text("Run All Cells", exact=True).click()
        _until_run(page)
        return page

    yield run
    for page in pages:
        page.close()
    for page in pages:
        assert [x for x in page.complaints if not any(y in x for y in page.foreseen)] == []
        assert {urlsplit(url).hostname for url in page.asked} <= {"127.0.0.1", None}


def _listen(page, said) -> None:
    """Keep what the page's console calls an error."""
    if said.type == "error":
        page.complaints.append(f"{said.text} {said.location.get('url', '')}")


@pytest.fixture(scope="module")
def reach():
    """Return a function that scrolls until something is in sight, and returns it."""

    def to(page, found):
        for step in (*[-500] * 60, *[500] * 120):  # cells out of sight are not in the page
            if found.count():
                break
            page.mouse.move(700, 600)
            page.mouse.wheel(0, step)
            page.wait_for_timeout(250)
        found.scroll_into_view_if_needed(timeout=PATIENCE)
        return found

    return to


@pytest.fixture(scope="module")
def run_workbook(open_workbook, reach):
    """Return a function that opens a workbook, runs all of it and brings its panel in sight."""

    def run(name):
        page = open_workbook(name)
        reach(page, page.locator(".noUi-handle").first)
        page.locator(".widget-hbox .js-plotly-plot .main-svg").first.wait_for(timeout=PATIENCE)
        return page

    return run


def _is_save(name, response) -> bool:
    return response.request.method == "PUT" and response.url.partition("?")[0].endswith(name)


@pytest.fixture(scope="module")
def outputs(server):
    """Return a function that saves a workbook as it stands and returns the outputs of its cells."""

    def read(page, name):
        with page.expect_response(partial(_is_save, name), timeout=PATIENCE) as saved:
            page.bring_to_front()
            page.get_by_role("menuitem", name="File", exact=True).click()
            page.get_by_text("Save Notebook", exact=True).click()
        assert saved.value.ok
        book = json.loads((server[2] / name).read_text("utf-8"))
        cells = [cell for cell in book["cells"] if cell["cell_type"] == "code"]
        assert all(cell["execution_count"] for cell in cells)
        return [output for cell in cells for output in cell["outputs"]]

    return read


def _rested(page, line) -> str:
    """Return the words of a line once all of a move are there, what is optimised last."""
    waits = page.locator(".widget-html-content", has_text="as soon as the sliders rest")
    waits.wait_for(state="detached", timeout=PATIENCE)
    said = ""
    while said != (said := page.locator(line).first.inner_text()):
        page.wait_for_timeout(RESTS)
    return said


def _as_it_stands(page, control) -> dict:
    """Return what tells why a key changed no words: who has it, and what its slider stands at."""
    return {
        "dialogs": page.locator(".jp-Dialog").all_inner_texts(),
        "focus": page.evaluate("document.activeElement.outerHTML.slice(0, 300)"),
        "slider": control.locator(".noUi-handle").get_attribute("aria-valuenow"),
        "box": control.locator("input").first.input_value(),
        "said": page.locator(".mplan-place").first.inner_text(),
        "kernel": page.get_by_text("Python 3 |").all_inner_texts(),
        "complaints": page.complaints,
    }


@pytest.fixture(scope="module")
def press():
    """Return a function that presses a key on a labelled slider: figures of the panel, new ones.

    Without what differs from the file, which stands between them.
    """

    def on(page, label, key):
        line = ".mplan-words .widget-html-content"
        before = _rested(page, line)
        control = page.locator(".mplan-control", has_text=label)
        control.locator(".noUi-handle").press(key)
        try:
            page.wait_for_function(
                "([where, before]) => document.querySelector(where).innerText !== before",
                arg=[line, before],
                timeout=PATIENCE,
            )
        except Exception as waited:
            raise AssertionError(f"no new words: {_as_it_stands(page, control)}") from waited
        _rested(page, line)
        return page.locator(line).first.evaluate(WITHOUT_DIFFERENCES)

    return on
