"""Charts of a panel, which the page draws anew when a drawing is laid into them.

A move sends each chart that differs one message, the words of the panel having gone before; plotly
itself is taken from its package, nothing is fetched.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any

import anywidget
import ipywidgets as widgets
import plotly.graph_objects as go
import traitlets
from plotly.offline import get_plotlyjs

from mplan import lettering
from mplan.show.drawn.figure import Drawing, Trace


class Script(widgets.Widget):
    """A script that widgets of a page share; it comes to the page once."""

    text = traitlets.Unicode().tag(sync=True)


@cache
def _plotly() -> Script:
    return Script(text=get_plotlyjs())


def plotly() -> Script:
    """Return plotly's script; anew where all widgets were closed meanwhile."""
    if _plotly().comm is None:
        _plotly.cache_clear()
    return _plotly()


class LiveFigure(anywidget.AnyWidget):
    """A chart `width` [px] wide; make one a view and keep it. `traces` and `frame` are plotly's.

    `drawing` is what it shows.
    """

    _esm = files("mplan.show.drawn").joinpath("live.js").read_text("utf-8")
    script = traitlets.Instance(Script).tag(sync=True, **widgets.widget_serialization)
    traces: Any = traitlets.List().tag(sync=True)
    frame: Any = traitlets.Dict().tag(sync=True)

    def __init__(self, drawing: Drawing, width: int) -> None:
        """Show a drawing."""
        self.drawing, self._width = drawing, width
        state = {"traces": _traces(drawing), "frame": _frame(drawing, width)}
        super().__init__(script=plotly(), **state)

    def redraw(self, drawing: Drawing) -> None:
        """Show another drawing; what is as it was is not sent."""
        self.drawing = drawing
        with self.hold_sync():
            self.traces, self.frame = _traces(drawing), _frame(drawing, self._width)

    @property
    def shown(self) -> go.Figure:
        """What it shows, as a plain figure."""
        return go.Figure(data=self.traces, layout=self.frame)


def _traces(drawing: Drawing) -> list[Trace]:
    return lettering.plotly(drawing.traces)


def _frame(drawing: Drawing, width: int) -> dict[str, Any]:
    """Return the layout; "none" is a template's name in Python alone."""
    return {**lettering.plotly(drawing.layout), "template": {}, "width": width}
