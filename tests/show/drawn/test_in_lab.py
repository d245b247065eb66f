"""The extension for JupyterLab: what it looks for is there, and older files are replaced."""

from __future__ import annotations

import json

from jupyterlab_server.config import get_federated_extensions

from mplan.lab import write_extension
from mplan.show.drawn import in_lab
from mplan.show.drawn.figure import PICTURE, PLOTLY


def test_jupyterlab_finds_the_extension(tmp_path):
    """Its own search finds it in a folder of data, with an entry that is there."""
    write_extension(tmp_path)
    found = get_federated_extensions([str(tmp_path / "labextensions")])[in_lab.NAME]
    entry = tmp_path / "labextensions" / in_lab.NAME / found["jupyterlab"]["_build"]["load"]
    text = entry.read_text("utf-8")
    assert json.dumps(PICTURE) in text
    assert json.dumps(PLOTLY) in text
    assert "function pictureIn" in text
    assert (entry.parent / "plotly.min.js").stat().st_size > 1_000_000


def test_an_older_one_is_replaced(tmp_path):
    """After a new version of the kit the page gets its new script."""
    write_extension(tmp_path)
    entry = tmp_path / "labextensions" / in_lab.NAME / in_lab.ENTRY
    new = entry.read_text("utf-8")
    entry.write_text("old", "utf-8")
    write_extension(tmp_path)
    assert entry.read_text("utf-8") == new
