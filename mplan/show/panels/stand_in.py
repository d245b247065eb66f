"""What stands in for a panel where no kernel runs: in a workbook that was saved, or sent on.

A page keeps no more of a widget than its name. So the cell of a panel has a second output, out of
sight while the panel is there: the words and still pictures that it showed when it last rested.
"""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterable, Iterator
from html import escape
from itertools import chain
from threading import Thread
from typing import Any

import ipywidgets as widgets
from IPython.display import DisplayHandle, display

from mplan.show import notes
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.live import LiveFigure
from mplan.show.notebook import Words
from mplan.show.panels.attending import attended
from mplan.show.panels.pause import Pause

RESTED = 1.0  # s without a new picture, after which what is shown is kept
OUTPUT = ".jp-OutputArea-output.lm-Panel"  # Jupyter's, of a widget
LIVE = "> .jupyter-widgets:not(.jupyter-widgets-disconnected)"  # in it, while its kernel runs
# The stand-in goes where the panel lives. Where it does not, what Jupyter has in its place goes:
# a panel that no longer moves, or "model not found".
STYLE = f"""<style>
.jp-OutputArea-child:has(> {OUTPUT} {LIVE})
  ~ .jp-OutputArea-child:has(> * > * > .mplan-stand-in),
.jp-OutputArea-child:has(~ .jp-OutputArea-child > * > * > .mplan-stand-in)
  > {OUTPUT}:not(:has({LIVE})) {{ display: none }}
.mplan-stand-in img {{ max-width: 100%; vertical-align: top }}
</style>"""
Part = str | Drawing  # of what a panel shows: words as HTML, or a drawing


class StandIn(widgets.VBox):
    """A panel whose cell keeps what it shows; kinds of panels call `keep_soon` when that is new."""

    controls: dict[str, Any]  # by key, each with its knob and its value
    repeats = False  # whether its words and pictures are in cells of their own, too
    keeping: Keeping | None = None  # from the first time that it is on a page

    def rows(self) -> Iterable[tuple[str, str, str]]:
        """Return the sliders: what each is, stands at and spans, with units."""
        knobs = ((each.knob, each.value) for each in self.controls.values())
        return [(knob.label, knob.told(value), knob.span) for knob, value in knobs]

    def still(self) -> Words:
        """Return what stands in where nobody is at the page: what no other cell shows."""
        return _words(map(_html, [self._table()] if self.repeats else self.content()))

    def content(self) -> list[Part]:
        """Return what the panel shows, what its sliders stand at first."""
        return [self._table(), *parts(self)]

    def keep_soon(self) -> None:
        """Have what is shown kept, once the sliders rest."""
        if self.keeping is not None:
            self.keeping.soon()

    def _table(self) -> str:
        return notes.still_rows(self.rows())

    def _ipython_display_(self) -> None:
        """Show the panel with its stand-in; where nobody is at the page, the latter alone."""
        if attended():
            self.keeping = Keeping(self.content, show(self))
            self.keep_soon()
        else:
            display(self.still())

    def _repr_mimebundle_(self, *args: Any, **kwargs: Any) -> dict[str, Any]:  # noqa: ANN401
        """Return the panel for a page with a kernel, and a line of text for all others."""
        return {**super()._repr_mimebundle_(*args, **kwargs), "text/plain": notes.PANEL}


class Keeping:
    """The output that stands in, and when it is written anew."""

    def __init__(self, shown: Callable[[], list[Part]], output: DisplayHandle) -> None:
        """Keep nothing yet."""
        self._shown, self._output = shown, output
        self._pause, self._turn = Pause(self._begin, RESTED), 0

    def soon(self) -> None:
        """Write it once nothing new has come for a while."""
        self._turn += 1
        if not self._pause.begin():  # from a thread, which comes seldom
            self._begin()

    def _begin(self) -> None:
        """Take what is shown now, and draw in a thread: still pictures take their time."""
        Thread(target=self._write, args=(self._turn, self._shown()), daemon=True).start()

    def _write(self, turn: int, shown: list[Part]) -> None:
        pieces = []
        for part in shown:
            if turn != self._turn:  # a move came, and its flight has the core
                return
            pieces.append(_html(part))
        self._output.update(_words(pieces))


def show(live: widgets.DOMWidget, kept: str = "") -> DisplayHandle:
    """Show a widget in the cell that is run, with HTML that stands in for it: its handle."""
    display(live._repr_mimebundle_(), raw=True)
    return display(_words([kept]), display_id=True)


def parts(widget: widgets.Widget) -> Iterator[Part]:
    """Yield the words and drawings that a widget shows, from its top to its bottom."""
    if isinstance(widget, LiveFigure):
        yield widget.drawing
    elif isinstance(widget, widgets.HTML):
        yield widget.value
    else:
        yield from chain.from_iterable(map(parts, getattr(widget, "children", ())))


def _html(part: Part) -> str:
    """Return words as they are, and a drawing as its still picture."""
    if isinstance(part, str):
        return part
    picture = base64.b64encode(Picture(part).png()).decode("ascii")
    return f'<img alt="{escape(part.summary)}" src="data:image/png;base64,{picture}">'


def _words(pieces: Iterable[str]) -> Words:
    """Return what stands in; empty at first, for it would show until the panel is there."""
    return Words(f'{STYLE}<div class="mplan-stand-in">{"".join(pieces)}</div>', notes.PANEL)
