"""Scripts and styles that draw pictures in a page."""

from __future__ import annotations

from importlib.resources import files

from mplan.show.drawn import dark


def _text(name: str) -> str:
    return files("mplan.show.drawn").joinpath(name).read_text("utf-8")


def script(name: str) -> str:
    """Return the text of a script that draws pictures, what such scripts share before it."""
    return f"{picture()}\n{_text(name)}"


def picture() -> str:
    """Return the text of what all such scripts share: fitting, and buttons that save."""
    return _text("picture.js")


def style() -> str:
    """Return the style of a picture's buttons, on any page."""
    return _text("picture.css")


STYLE = f"{style()}\n{dark.css(dark.IN_LAB)}"  # of JupyterLab's page
