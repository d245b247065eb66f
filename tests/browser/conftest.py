"""A real browser, where there is one; continuous integration (CI set) must have one."""

from __future__ import annotations

import os
import shutil

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")
QUIET = (
    "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run "
    "--disable-background-networking --disable-component-update --disable-sync"
)


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
