"""A picture with sliders: what a formula does as its values move."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html import escape

import ipywidgets as widgets

from mplan.show import notes
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.reference import behind
from mplan.show.panels.board import Board
from mplan.show.panels.knobs import Knob
from mplan.show.panels.panel import shows_errors
from mplan.show.panels.stand_in import StandIn

HOME = "Back to the start"
WIDTH = 780  # px: fits JupyterLab's output beside its file list, at 1280 px
Shown = Callable[..., Drawing]  # of the sliders' values, each in its unit and by its key


class LessonPanel(StandIn):
    """Sliders above one picture; the picture's summary stands between them as a sentence."""

    def __init__(self, knobs: Mapping[Knob, float], shown: Shown) -> None:
        """Stand at the values given, each in its knob's unit."""
        self._shown = shown
        self.board = Board(knobs.items(), self._moved, home=HOME)
        self.controls, self.trouble = self.board.controls, self.board.trouble
        self._first = self.drawing = shown(**self.board.values)
        self.words = widgets.HTML()
        self.figure = LiveFigure(self.drawing, WIDTH, getattr(shown, "func", shown).__name__)
        picture = widgets.HBox([self.figure], layout={"overflow": "auto"})
        super().__init__([self.board, self.words, picture])
        self._tell()

    @shows_errors
    def _moved(self) -> None:
        """Draw what the sliders ask for; where the formula has no answer, say so."""
        try:
            self.drawing = self._shown(**self.board.values)
        except ValueError as problem:
            self.board.refuse(f"{problem}.")
            return
        self.board.say("")
        self.figure.redraw(self._over_the_first())
        self._tell()
        self.keep_soon()

    def _over_the_first(self) -> Drawing:
        """Return the drawing with thin outlines of the first one behind it."""
        if self.board.values == self.board.home:
            return self.drawing
        return behind(self.drawing, self._first, "the start")

    def _tell(self) -> None:
        line = f'<p role="status" style="{notes.CLOSE}">{escape(self.drawing.summary)}</p>'
        self.words.value = line
