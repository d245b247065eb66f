"""The panel of four burns: sliders on the arguments, budget and timeline at every move."""

from __future__ import annotations

import ipywidgets as widgets

from mplan.physics.constants import HOUR
from mplan.scenario.arguments import ArgumentError
from mplan.scenario.quantities import parse
from mplan.show import notes
from mplan.show.four_burns import tables
from mplan.show.panels.board import Board
from mplan.show.panels.knobs import Knob
from mplan.show.panels.panel import shows_errors
from mplan.show.panels.stand_in import StandIn
from mplan.studies.four_burns import Sketch, sketch

KNOBS = (
    Knob("parking_altitude", "parking altitude", "km", 1e3, 150.0, 600.0, 5.0),
    Knob("lunar_altitude", "lunar altitude", "km", 1e3, 50.0, 500.0, 5.0),
    Knob("time_there", "time to the Moon", "h", HOUR, 50.0, 110.0, 1.0),
    Knob("stay", "stay in lunar orbit", "h", HOUR, 2.0, 240.0, 2.0),
    Knob("time_home", "time home", "h", HOUR, 50.0, 110.0, 1.0),
)


def panel(
    departure: str, *, inclination: str, home_mass: float, isp: float, **values: str
) -> FourBurnsPanel:
    """Return the panel on the arguments of `studies.four_burns.sketch`, and of its budget.

    ArgumentError where they themselves lead nowhere.
    """
    fixed = {"departure": departure, "inclination": inclination}
    return FourBurnsPanel(fixed, values, {"home_mass": home_mass, "isp": isp})


class FourBurnsPanel(StandIn):
    """Five sliders; `sketch` is the last mission that was found."""

    def __init__(
        self, fixed: dict[str, str], values: dict[str, str], craft: dict[str, float]
    ) -> None:
        """Work out the mission as it stands and show it."""
        self._fixed, self._craft = fixed, craft
        turned = [(knob, _number(knob, values[knob.key])) for knob in KNOBS]
        self.board = Board(turned, self._moved, home="Back to the start")
        self.controls, self.trouble = self.board.controls, self.board.trouble
        self.shown = widgets.HTML()
        super().__init__([self.board, self.shown])
        self._first = self.sketch = self._worked_out()
        self._tell()

    @shows_errors
    def _moved(self) -> None:
        """Work out what the sliders ask for; where there is no arc, say so and keep the last."""
        try:
            self.sketch = self._worked_out()
        except ArgumentError as problem:
            self.board.refuse(f"{problem}.")
            return
        self.board.say("")
        self._tell()
        self.keep_soon()

    def _worked_out(self) -> Sketch:
        asked = {key: f"{each.value:g} {each.knob.unit}" for key, each in self.controls.items()}
        return sketch(**self._fixed, **asked)

    def _tell(self) -> None:
        """Show the burns with what differs from the start, the budget and the timeline."""
        now, first = (tables.facts(x, **self._craft) for x in (self.sketch, self._first))
        budget = tables.budget(self.sketch, **self._craft)
        words = f'<div role="status">{notes.facts(now, first)}</div>'
        self.shown.value = words + budget.html + tables.timeline(self.sketch).html


def _number(knob: Knob, value: str) -> float:
    """Return a quantity in the unit of its slider."""
    return round(parse(value, "m" if knob.unit == "km" else "s") / knob.size, 9)
