"""A picture with sliders: what a formula does as its values move."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping
from html import escape
from typing import Any

import ipywidgets as widgets

from mplan.show import notes
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.live import LiveFigure
from mplan.show.panels.controls import SliderControl
from mplan.show.panels.knobs import Knob
from mplan.show.panels.panel import shows_errors

WIDTH = 780  # px: fits JupyterLab's output beside its file list, at 1280 px
Shown = Callable[..., Drawing]  # of the sliders' values, each in its unit and by its key


class LessonPanel(widgets.VBox):
    """Sliders above one picture; the picture's summary stands between them as a sentence."""

    def __init__(self, knobs: Mapping[Knob, float], shown: Shown) -> None:
        """Stand at the values given, each in its knob's unit."""
        self._shown = shown
        self.controls = {
            knob.key: SliderControl(knob, value, self._moved) for knob, value in knobs.items()
        }
        self.drawing = shown(**self._values())
        self.trouble, self.words = widgets.HTML(), widgets.HTML()
        self.figure = LiveFigure(self.drawing, WIDTH)
        picture = widgets.HBox([self.figure], layout={"overflow": "auto"})
        super().__init__([*self.controls.values(), self.trouble, self.words, picture])
        self._tell()

    def _values(self) -> dict[str, float]:
        return {key: each.value for key, each in self.controls.items()}

    @shows_errors
    def _moved(self) -> None:
        """Draw what the sliders ask for; where the formula has no answer, say so."""
        try:
            self.drawing = self._shown(**self._values())
        except ValueError as problem:
            self.trouble.value = notes.trouble(f"{problem}. Showing the last valid result.")
            return
        self.trouble.value = ""
        self.figure.redraw(self.drawing)
        self._tell()

    def _tell(self) -> None:
        line = f'<p role="status" style="{notes.CLOSE}">{escape(self.drawing.summary)}</p>'
        self.words.value = line

    def _repr_mimebundle_(self, *args: Any, **kwargs: Any) -> dict[str, Any]:  # noqa: ANN401
        """Add what stands in for the panel where no kernel runs: its picture among it."""
        bundle = super()._repr_mimebundle_(*args, **kwargs)
        rows = [(each.knob, each.value) for each in self.controls.values()]
        picture = base64.b64encode(Picture(self.drawing).png()).decode("ascii")
        image = (
            f'<img alt="{escape(self.drawing.summary)}" src="data:image/png;base64,{picture}" '
            'style="max-width:100%">'
        )
        still = notes.still_panel(rows) + self.words.value + image
        text = f"{notes.PANEL} {self.drawing.summary}"
        return {**bundle, "text/html": still, "text/plain": text}
