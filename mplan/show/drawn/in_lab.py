"""What JupyterLab needs to draw pictures of cells: an extension, to be put where it looks for one.

Plotly's own renderer shows a still picture first, as wide as that happens to be, and another one
when the pointer comes; ours is as wide as the cell at once, and follows the page's theme.
"""

from __future__ import annotations

import json
from pathlib import Path

from plotly.offline import get_plotlyjs

from mplan.show.drawn.scripts import STYLE, script

NAME = "mplan-pictures"
ENTRY = "static/entry.js"
PACKAGE = {
    "name": NAME,
    "version": "1.0.0",
    "jupyterlab": {"_build": {"load": ENTRY, "mimeExtension": "./mimeExtension"}},
}


def files() -> dict[Path, str]:
    """Return the text of each file of the extension, by its place in a folder of Jupyter's data."""
    entry = f"(() => {{\nconst STYLE = {json.dumps(STYLE)};\n{script('in_lab.js')}\n}})();"
    texts = {
        "package.json": json.dumps(PACKAGE, indent=2),
        ENTRY: entry,
        "static/plotly.min.js": get_plotlyjs(),
    }
    return {Path("labextensions", NAME, name): text for name, text in texts.items()}
