"""A slider with a number box beside it; the box has the say and takes what the slider cannot."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from mplan.show.knobs import Knob


class Control(widgets.HBox):
    """One knob in the panel; `moved` is called once for each new value, whoever set it."""

    def __init__(self, knob: Knob, value: float, moved: Callable[[], None]) -> None:
        """Stand at `value`."""
        self.knob, self._moved, self._following = knob, moved, False
        low, high = min(knob.low, value), max(knob.high, value)
        self.slider = widgets.FloatSlider(
            _nearest(value, low, high, knob.step),
            min=low,
            max=high,
            step=knob.step,
            description=knob.title,
            tooltip=knob.hint,
            readout=False,
            style={"description_width": "165px"},
            layout={"flex": "1 1 auto", "min_width": "230px"},
        )
        self.box = widgets.FloatText(
            value, step=knob.step, tooltip=knob.hint, layout={"width": "84px"}
        )
        super().__init__([self.slider, self.box])
        self.slider.observe(self._slid, "value")
        self.box.observe(self._typed, "value")

    @property
    def value(self) -> float:
        """The number that the box shows."""
        return self.box.value

    @value.setter
    def value(self, number: float) -> None:
        self.box.value = number

    def _slid(self, change: Any) -> None:  # noqa: ANN401 (traitlets types no change)
        if not self._following:
            self.box.value = change.new

    def _typed(self, change: Any) -> None:  # noqa: ANN401
        self._following = True
        try:
            self.slider.value = _nearest(
                change.new, self.slider.min, self.slider.max, self.knob.step
            )
        finally:
            self._following = False
        self._moved()


def _nearest(value: float, low: float, high: float, step: float) -> float:
    """Return the place on a slider that is nearest to a value.

    Between its steps a slider goes to one by itself, and would take the box along.
    """
    return max(low, min(high, low + round((value - low) / step) * step))
