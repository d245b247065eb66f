"""What people turn: a slider with a number box beside it, a choice, a slider with a switch.

The box has the say, and takes what the slider cannot.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from mplan.show.panels.knobs import Choice, Knob, SwitchedKnob

LABEL = {"description_width": "165px"}


class SliderControl(widgets.HBox):
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
            style=LABEL,
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
            self.box.value = round(change.new, 6)  # browsers add steps up in binary

    def _typed(self, change: Any) -> None:  # noqa: ANN401
        self._following = True
        try:
            self.slider.value = _nearest(
                change.new, self.slider.min, self.slider.max, self.knob.step
            )
        finally:
            self._following = False
        self._moved()


class ChoiceControl(widgets.HBox):
    """A choice in the panel: buttons, for JupyterLab keeps the arrow keys of a menu to itself."""

    def __init__(self, knob: Choice, value: str, moved: Callable[[], None]) -> None:
        """Stand at `value`."""
        self.knob = knob
        self.buttons = widgets.ToggleButtons(
            options=knob.options,
            value=value,
            tooltips=[f"{knob.title}: {word}" for word in knob.options],
            style={"button_width": f"{max(110, 30 + 8 * max(map(len, knob.options)))}px"},
        )
        title = widgets.Label(knob.title, layout={"width": "165px", "justify_content": "flex-end"})
        super().__init__([title, self.buttons])
        self.buttons.observe(lambda change: moved(), "value")

    @property
    def value(self) -> str:
        """The word that is chosen."""
        return self.buttons.value

    @value.setter
    def value(self, word: str) -> None:
        self.buttons.value = word


class SwitchedControl(widgets.HBox):
    """A control that can be switched off: its value is None then."""

    def __init__(self, knob: SwitchedKnob, value: float | None, moved: Callable[[], None]) -> None:
        """Stand at `value`, switched off where it is None."""
        self.knob, self._moved = knob, moved
        self.switch = widgets.Checkbox(
            value is not None,
            indent=False,
            tooltip=f"{knob.label}: on or off",
            layout={"width": "20px"},
        )
        self.control = SliderControl(knob, knob.low if value is None else value, self._turned)
        self.control.layout.flex = "1 1 auto"
        super().__init__([self.switch, self.control])
        self.switch.observe(lambda change: moved(), "value")

    def _turned(self) -> None:
        if self.switch.value:
            self._moved()

    @property
    def value(self) -> float | None:
        """The number, or None."""
        return self.control.value if self.switch.value else None

    @value.setter
    def value(self, number: float | None) -> None:
        if number is not None:
            self.control.value = number
        self.switch.value = number is not None


def of(
    knob: Knob | Choice,
    value: Any,  # noqa: ANN401 (what the knob reads)
    moved: Callable[[], None],
) -> SliderControl | ChoiceControl | SwitchedControl:
    """Return the control that suits a knob."""
    if isinstance(knob, Choice):
        return ChoiceControl(knob, value, moved)
    if isinstance(knob, SwitchedKnob):
        return SwitchedControl(knob, value, moved)
    return SliderControl(knob, value, moved)


def _nearest(value: float, low: float, high: float, step: float) -> float:
    """Return the place on a slider that is nearest to a value.

    Between its steps a slider goes to one by itself, and would take the box along.
    """
    return max(low, min(high, low + round((value - low) / step) * step))
