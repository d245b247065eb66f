"""Sliders together: undo and redo, the way back, and a place kept for what is said of a move."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import ipywidgets as widgets

from mplan.show import notes
from mplan.show.panels import controls
from mplan.show.panels.history import History, Values
from mplan.show.panels.knobs import Choice, Knob
from mplan.show.panels.names import Names

REST = 0.6  # s without a move, after which another one is a step of its own
LEAST = 400  # px that a slider takes with its name and its box
SLIDERS = "224px"  # seven rows; more are scrolled, so that what they change stays in view
PLACE = "44px"  # two lines


class Board(widgets.VBox):
    """Controls by key; `moved` is called for each new state of them, whoever set it."""

    def __init__(
        self,
        turned: Iterable[tuple[Knob | Choice, Any]],
        moved: Callable[[], None],
        *,
        least: int = LEAST,
        more: Iterable[widgets.Widget] = (),
        home: str = "Back to the file",
    ) -> None:
        """Stand at what each knob is given; `more` stands beside the buttons.

        `home` is written on the button that takes all of them back.
        """
        self._moved, self._setting = moved, False
        self.controls = {
            knob.key: controls.of(knob, value, self._turned, self.say) for knob, value in turned
        }
        self.home = self.values
        self._other, self.history = self.home, History(self.home, REST)
        self.trouble = widgets.HTML(layout={"margin": "0"})
        self._make_buttons(home)
        super().__init__(self._laid_out(least, more))
        self.add_class("mplan-board")
        self.compare(self.home)

    def _make_buttons(self, home: str) -> None:
        narrow = {"width": "auto"}
        self.undo = widgets.Button(
            description="Undo", icon="undo", tooltip="undo the last move", layout=narrow
        )
        self.redo = widgets.Button(
            description="Redo", icon="repeat", tooltip="redo the move undone last", layout=narrow
        )
        self.back = widgets.Button(
            description=home, icon="home", tooltip=f"{home}: all sliders", layout=narrow
        )
        self.undo.on_click(lambda button: self.go(self.history.undo()))
        self.redo.on_click(lambda button: self.go(self.history.redo()))
        self.back.on_click(lambda button: self.go(self.home))

    def _laid_out(self, least: int, more: Iterable[widgets.Widget]) -> list[widgets.Widget]:
        width = f"min(max({least}px, 34%), 100%)"  # two beside each other at most
        grid = {
            "grid_template_columns": f"repeat(auto-fit, minmax({width}, 1fr))",
            "grid_gap": "0 16px",
            "max_height": SLIDERS,
            "overflow": "hidden auto",
        }
        wrap = {"flex_flow": "row wrap", "align_items": "center"}
        buttons = widgets.HBox([self.undo, self.redo, self.back, *more], layout=wrap)
        sliders = widgets.GridBox(list(self.controls.values()), layout=grid)
        place = widgets.VBox([self.trouble], layout={"min_height": PLACE, "flex": "0 0 auto"})
        place.add_class("mplan-place")
        return [Names(), buttons, sliders, place]

    @property
    def values(self) -> Values:
        """What every control stands at, by key."""
        return {key: each.value for key, each in self.controls.items()}

    def compare(self, other: Values) -> None:
        """Mark the controls that stand elsewhere than in another state."""
        self._other = other
        for key, each in self.controls.items():
            each.compare(other[key])
        self.undo.disabled = not self.history.undoes
        self.redo.disabled = not self.history.redoes
        self.back.disabled = self.values == self.home

    def go(self, values: Values) -> None:
        """Set all controls, as one move."""
        self._setting = True
        try:
            for key, each in self.controls.items():
                each.value = values[key]
        finally:
            self._setting = False
        self.history.rest()
        self._turned()
        self.history.rest()

    def _turned(self) -> None:
        if self._setting:
            return
        self.history.note(self.values)
        self.compare(self._other)
        self._moved()

    def say(self, text: str) -> None:
        """Say something of a move, in the place kept for it; "" clears the place."""
        self.trouble.value = notes.remark(text) if text else ""

    def refuse(self, text: str) -> None:
        """Say why a move is not shown."""
        self.trouble.value = notes.trouble(f"{text} Showing the last valid result.")
