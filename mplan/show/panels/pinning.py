"""What a panel's plan is compared with, the file or a pinned state, and the buttons for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import ipywidgets as widgets

from mplan.plan import Plan
from mplan.show.drawn.figure import Drawing
from mplan.show.panels.history import Values

FILE, PINNED = "the file", "the pinned state"


@dataclass(frozen=True)
class ComparedWith:
    """A plan, the values of the sliders it was flown for, and its pictures."""

    name: str  # as in "compared with ..."
    plan: Plan
    values: Values
    drawings: tuple[Drawing, ...]


class PinButtons(widgets.HBox):
    """Pin what is shown, or go back to the file; what is done then is the panel's."""

    def __init__(self, pin: Callable[[], None], unpin: Callable[[], None]) -> None:
        """Offer to pin; nothing is pinned yet."""
        narrow = {"width": "auto"}
        self.pin = widgets.Button(
            description="Pin",
            icon="thumb-tack",
            tooltip="compare with what is shown now",
            layout=narrow,
        )
        self.unpin = widgets.Button(
            description="Unpin",
            icon="times",
            tooltip="compare with the file again",
            layout=narrow,
            disabled=True,
        )
        self.pin.on_click(lambda button: pin())
        self.unpin.on_click(lambda button: unpin())
        super().__init__([self.pin, self.unpin])
