"""What people turn: a slider with a number box beside it, a choice, a slider with a switch.

The box has the say, and takes what the slider cannot. Each is marked while it stands elsewhere
than what it is compared with, and has a button that takes it back there.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from mplan.show.panels.knobs import Choice, Knob, SwitchedKnob

LABEL = {"description_width": "165px"}
# Of a choice: as wide however many buttons stand beside it.
TITLE = {"width": "165px", "flex": "0 0 165px", "justify_content": "flex-end"}
ROW = "mplan-row"  # the class of a control that takes a row of the panel
MOVED = "mplan-moved"  # the class of a control that is marked

Moved = Callable[[], None]
Say = Callable[[str], None]


def silent(text: str) -> None:
    """Say nothing."""


class Control(widgets.HBox):
    """Something to turn, its `value`, and the way back to what it is compared with."""

    value: Any
    knob: Any  # a kind of Knob, or a Choice

    def __init__(self, knob: Knob | Choice, children: list[widgets.Widget]) -> None:
        """Stand as compared with, not marked."""
        self.knob, self._other = knob, None
        self.reset = widgets.Button(
            icon="undo", layout={"width": "30px", "flex": "0 0 auto", "visibility": "hidden"}
        )
        self.reset.on_click(lambda button: self._go_back())
        super().__init__([*children, self.reset], layout={"align_items": "center"})
        self.add_class("mplan-control")

    def compare(self, other: Any) -> None:  # noqa: ANN401 (what the knob reads)
        """Mark it if it stands elsewhere than `other`, where the button takes it."""
        self._other, away = other, self.value != other
        self.reset.tooltip = f"{self.knob.label}: back to {self.knob.told(other)}"
        self.reset.layout.visibility = "visible" if away else "hidden"
        (self.add_class if away else self.remove_class)(MOVED)

    def _go_back(self) -> None:
        self.value = self._other


class SliderControl(Control):
    """One knob in the panel; `moved` is called once for each new value, whoever set it.

    A box of whole numbers takes the nearest one, and `say` is told so.
    """

    knob: Knob

    def __init__(self, knob: Knob, value: float, moved: Moved, say: Say = silent) -> None:
        """Stand at `value`."""
        self._moved, self._say, self._following = moved, say, False
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
            value, step=knob.step, tooltip=knob.hint, layout={"width": "84px", "flex": "0 0 auto"}
        )
        super().__init__(knob, [self.slider, self.box])
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
        number = round(change.new, 6)  # browsers add steps up in binary
        if not self._following and number != round(change.old, 6):  # and say so once they are drawn
            self.box.value = number

    def _typed(self, change: Any) -> None:  # noqa: ANN401
        taken = self.knob.taken(change.new)
        if taken != change.new:
            self.box.value = taken
            self._say(f"{self.knob.label}: whole numbers only, {taken:g} for {change.new:g}.")
            return
        self._following = True
        try:
            self.slider.value = _nearest(
                change.new, self.slider.min, self.slider.max, self.knob.step
            )
        finally:
            self._following = False
        self._moved()


class ChoiceControl(Control):
    """A choice in the panel: buttons, for JupyterLab keeps the arrow keys of a menu to itself.

    Of more than two they take a row of the panel to themselves, each as wide as its word, and wrap.
    """

    def __init__(self, knob: Choice, value: str, moved: Moved) -> None:
        """Stand at `value`."""
        many, longest = len(knob.options) > 2, max(map(len, knob.options))
        self.buttons = widgets.ToggleButtons(
            options=knob.options,
            value=value,
            tooltips=[f"{knob.title}: {word}" for word in knob.options],
            style={"button_width": "auto" if many else f"{max(110, 30 + 8 * longest)}px"},
            layout={"flex": "1 1 auto"},
        )
        title = widgets.Label(knob.title, layout=TITLE)
        super().__init__(knob, [title, self.buttons])
        if many:
            self.add_class(ROW)
        self.buttons.observe(lambda change: moved(), "value")

    @property
    def value(self) -> str:
        """The word that is chosen."""
        return self.buttons.value

    @value.setter
    def value(self, word: str) -> None:
        self.buttons.value = word


class SwitchedControl(Control):
    """A control that can be switched off: its value is None then.

    Who turns it while it is off is told why nothing happens.
    """

    def __init__(
        self, knob: SwitchedKnob, value: float | None, moved: Moved, say: Say = silent
    ) -> None:
        """Stand at `value`, switched off where it is None."""
        self._moved, self._say = moved, say
        self.switch = widgets.Checkbox(
            value is not None,
            indent=False,
            tooltip=f"{knob.label}: on or off",
            layout={"width": "20px"},
        )
        self.control = SliderControl(knob, knob.low if value is None else value, self._turned, say)
        self.control.layout.flex = "1 1 auto"
        self.control.reset.layout.display = "none"
        super().__init__(knob, [self.switch, self.control])
        self.switch.observe(lambda change: moved(), "value")

    def _turned(self) -> None:
        if self.switch.value:
            self._moved()
        else:
            name = self.knob.label
            self._say(f"{name} is switched off: the switch beside its name turns it on.")

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
    moved: Moved,
    say: Say = silent,
) -> SliderControl | ChoiceControl | SwitchedControl:
    """Return the control that suits a knob."""
    if isinstance(knob, Choice):
        return ChoiceControl(knob, value, moved)
    if isinstance(knob, SwitchedKnob):
        return SwitchedControl(knob, value, moved, say)
    return SliderControl(knob, value, moved, say)


def _nearest(value: float, low: float, high: float, step: float) -> float:
    """Return the place on a slider that is nearest to a value.

    Between its steps a slider goes to one by itself, and would take the box along; so it would from
    a step that is off by what adding up in binary leaves.
    """
    return max(low, min(high, round(low + round((value - low) / step) * step, 9)))
