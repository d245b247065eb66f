"""From a drawing to what people see: an interactive figure with a still picture beside it.

A drawing is plain data: plotly traces, axes and one line of words that says what it shows. It
becomes a `Picture` in a cell, or is laid into a chart that a panel keeps (`live.py`).
"""

from __future__ import annotations

import base64
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import plotly.graph_objects as go

from mplan import lettering
from mplan.cautions import CAUTIONS
from mplan.show.drawn import palette
from mplan.show.drawn.palette import Look

Trace = dict[str, Any]

PICTURE = "application/vnd.mplan.picture.v1+json"  # for our own renderer in JupyterLab
PLOTLY = "application/vnd.plotly.v1+json"
CONFIG = {"displaylogo": False, "modeBarButtons": [["toImage"]], "responsive": True}
MARGIN = {"l": 10, "r": 10, "t": 34, "b": 46}


@dataclass(frozen=True)
class Drawing:
    """What is drawn: traces, axes, height [px], and `summary`, the same in one line of words."""

    traces: list[Trace]
    x: dict[str, Any]
    y: dict[str, Any]
    height: int
    summary: str
    look: Look
    more: Mapping[str, Any] | None = None  # of the layout

    @property
    def layout(self) -> dict[str, Any]:
        """The plotly layout."""
        return {
            **palette.layout(self.look),
            "xaxis": self.x,
            "yaxis": self.y,
            "height": self.height,
            "margin": MARGIN,
            "meta": self.summary,
            **(self.more or {}),
        }


class Chart(NamedTuple):
    """How a plan is drawn in a panel, and how wide [px] where there is room for more than one.

    Where there is less it shrinks, but not below `least` [px], at which its words would be cut off.
    """

    drawing: Callable[..., Drawing]  # of a plan and a theme
    width: int
    least: int = 0

    @property
    def name(self) -> str:
        """What it is called in the name of a file."""
        of = getattr(self.drawing, "__self__", None)  # a curve, say, which has a name of its own
        return getattr(of, "name", None) or self.drawing.__module__.rpartition(".")[2]


class Picture(go.Figure):
    """A figure that a notebook keeps as a still picture too.

    Executed notebooks are read where no script runs: in mail, on a code host, in a converter.
    They show the PNG; JupyterLab shows the interactive figure. `file_name` is what it is saved as,
    without an ending.
    """

    file_name = "picture"

    _ipython_display_ = None  # else it would be asked before the bundle below
    _repr_html_ = None  # else it would go along, and fetch its script from outside

    def __init__(self, drawing: Drawing, *named: str) -> None:
        """Draw; `named` are the parts of its file's name, as mission and picture."""
        super().__init__(data=drawing.traces, layout=drawing.layout)
        self.called(*named)

    @property
    def summary(self) -> str:
        """What the picture shows, in one line of words."""
        return self.layout.meta

    def called(self, *named: str) -> None:
        """Name the file that the picture is saved as, by parts of any letters."""
        self.file_name = file_name(*named)

    def png(self) -> bytes:
        """Return the still picture."""
        from mplan.show.drawn import still

        return still.png(self)

    def _repr_mimebundle_(self, *args: object, **kwargs: object) -> tuple[dict, dict]:
        figure = self.to_plotly_json()
        config = {**CONFIG, "toImageButtonOptions": {"filename": self.file_name}}
        bundle = {
            PICTURE: about(self.file_name),
            PLOTLY: {**lettering.plotly(_plain(figure)), "config": config},
            "image/png": base64.b64encode(self.png()).decode("ascii"),
            "text/plain": self.summary,
        }
        return bundle, {"image/png": {"alt": self.summary}}


def file_name(*named: str) -> str:
    """Return the name of a picture's file without its ending, of letters that any disk takes."""
    return "_".join(re.findall(r"\w+", " ".join(named))) or Picture.file_name


def about(name: str) -> dict[str, str]:
    """Return what a page needs to save a picture: its file's name and the caution in it."""
    return {"name": name, "caution": CAUTIONS[0]}


def _plain(figure: dict[str, Any]) -> dict[str, Any]:
    import json

    from plotly.utils import PlotlyJSONEncoder

    return json.loads(json.dumps(figure, cls=PlotlyJSONEncoder))
