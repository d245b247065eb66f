"""The panel of four burns: sliders on the arguments, budget and timeline at every move."""

from __future__ import annotations

import ipywidgets as widgets

from mplan.physics.constants import HOUR
from mplan.scenario.arguments import ArgumentError
from mplan.scenario.quantities import parse
from mplan.show import notes
from mplan.show.four_burns import tables
from mplan.show.panels.controls import SliderControl
from mplan.show.panels.knobs import Knob
from mplan.show.panels.panel import shows_errors
from mplan.show.panels.stand_in import StandIn
from mplan.studies.four_burns import sketch

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
        self.controls = {
            knob.key: SliderControl(knob, _number(knob, values[knob.key]), self._moved)
            for knob in KNOBS
        }
        self.trouble, self.shown = widgets.HTML(), widgets.HTML()
        super().__init__([*self.controls.values(), self.trouble, self.shown])
        self._work_out()

    @shows_errors
    def _moved(self) -> None:
        """Work out what the sliders ask for; where there is no arc, say so and keep the last."""
        try:
            self._work_out()
        except ArgumentError as problem:
            self.trouble.value = notes.trouble(f"{problem}. Showing the last valid result.")

    def _work_out(self) -> None:
        asked = {key: f"{each.value:g} {each.knob.unit}" for key, each in self.controls.items()}
        self.sketch = sketch(**self._fixed, **asked)
        budget = tables.budget(self.sketch, **self._craft)
        total = f"<p>All burns: <b>{self.sketch.delta_v:,.1f} m/s</b></p>"
        self.shown.value = total + budget.html + tables.timeline(self.sketch).html
        self.trouble.value = ""
        self.keep_soon()


def _number(knob: Knob, value: str) -> float:
    """Return a quantity in the unit of its slider."""
    return round(parse(value, "m" if knob.unit == "km" else "s") / knob.size, 9)
