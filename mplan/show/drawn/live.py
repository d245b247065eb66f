"""Charts of a panel, which the page draws anew when a drawing is laid into them.

A move sends each chart that differs one message, the words of the panel having gone before; plotly
itself is taken from its package, nothing is fetched.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import anywidget
import ipywidgets as widgets
import plotly.graph_objects as go
import traitlets
from plotly.offline import get_plotlyjs

from mplan import lettering
from mplan.show.drawn.figure import Drawing, Trace, about, file_name
from mplan.show.drawn.scripts import STYLE, script


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
    """A chart; make one a view and keep it. `traces` and `frame` are plotly's, of its `drawing`.

    It fills its place; beside others in a row it asks for `width` [px], and shares what is left.
    """

    _esm = script("live.js")
    _css = STYLE
    script = traitlets.Instance(Script).tag(sync=True, **widgets.widget_serialization)
    traces: Any = traitlets.List().tag(sync=True)
    frame: Any = traitlets.Dict().tag(sync=True)
    about: Any = traitlets.Dict().tag(sync=True)

    def __init__(self, drawing: Drawing, width: int, *named: str) -> None:
        """Show a drawing; `named` are the parts of the name of a file that it is saved as."""
        self.drawing = drawing
        state = {"traces": _traces(drawing), "frame": _frame(drawing)}
        place = {"flex": f"1 1 {width}px", "min_width": f"min({width}px, 100%)"}
        super().__init__(script=plotly(), about=about(file_name(*named)), layout=place, **state)

    def redraw(self, drawing: Drawing) -> None:
        """Show another drawing; what is as it was is not sent."""
        self.drawing = drawing
        with self.hold_sync():
            self.traces, self.frame = _traces(drawing), _frame(drawing)

    @property
    def shown(self) -> go.Figure:
        """What it shows, as a plain figure."""
        return go.Figure(data=self.traces, layout=self.frame)


def _traces(drawing: Drawing) -> list[Trace]:
    return lettering.plotly(drawing.traces)


def _frame(drawing: Drawing) -> dict[str, Any]:
    """Return the layout; "none" is a template's name in Python alone."""
    return {**lettering.plotly(drawing.layout), "template": {}}
