"""Scripts and styles that draw pictures in a page."""

from __future__ import annotations

from importlib.resources import files

from mplan.show.drawn import dark


def _text(name: str) -> str:
    return files("mplan.show.drawn").joinpath(name).read_text("utf-8")


def script(name: str) -> str:
    """Return the text of a script that draws pictures, what such scripts share before it."""
    return f"{_text('picture.js')}\n{_text(name)}"


STYLE = f"{_text('picture.css')}\n{dark.css(dark.IN_LAB)}"  # of JupyterLab's page
