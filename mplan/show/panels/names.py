"""Names of sliders and boxes for those who hear the page, and the looks of what is marked.

ipywidgets gives a slider's handle no name, and a box that has no label of its own none either.
"""

from __future__ import annotations

from importlib.resources import files

import anywidget


class Names(anywidget.AnyWidget):
    """Names every control of the panel it stands in, and shows nothing itself."""

    _esm = files("mplan.show.panels").joinpath("names.js").read_text("utf-8")
    _css = files("mplan.show.panels").joinpath("names.css").read_text("utf-8")
