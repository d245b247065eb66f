"""A picture with sliders: what a formula does as its values move."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html import escape

import ipywidgets as widgets

from mplan.show import notes
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.live import LiveFigure
from mplan.show.panels.controls import SliderControl
from mplan.show.panels.knobs import Knob
from mplan.show.panels.panel import shows_errors
from mplan.show.panels.stand_in import StandIn

WIDTH = 780  # px: fits JupyterLab's output beside its file list, at 1280 px
Shown = Callable[..., Drawing]  # of the sliders' values, each in its unit and by its key


class LessonPanel(StandIn):
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
        self.keep_soon()

    def _tell(self) -> None:
        line = f'<p role="status" style="{notes.CLOSE}">{escape(self.drawing.summary)}</p>'
        self.words.value = line
