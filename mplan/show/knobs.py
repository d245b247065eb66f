"""What a panel lets people turn: scenario keys, with the unit and the range of their sliders."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import reduce

from mplan.physics.constants import HOUR
from mplan.scenario import Scenario

LAUNCH_DAY = "dates.launch_day"


@dataclass(frozen=True)
class Knob:
    """A key with a number behind it: `unit` of what people see, `size` of that unit in SI."""

    key: str
    label: str
    unit: str
    size: float
    low: float
    high: float
    step: float

    @property
    def title(self) -> str:
        """Label and unit."""
        return f"{self.label} [{self.unit}]"

    @property
    def hint(self) -> str:
        """What the slider spans."""
        return f"{self.label}, {self.low:g} to {self.high:g} {self.unit} ({self.key})"

    def read(self, scenario: Scenario) -> float | None:
        """Return the number a scenario has here, or None where its profile has no use for it."""
        if self.key == LAUNCH_DAY:
            return 0.0
        value = reduce(getattr, self.key.split("."), scenario)
        return None if value is None else round(value / self.size, 9)

    def write(self, number: float, scenario: Scenario) -> str | date:
        """Return the value that a change of the key to `number` has; days count from the file's."""
        if self.key == LAUNCH_DAY:
            return scenario.dates.launch_day + timedelta(days=round(number))
        return f"{number:g} {self.unit}"


KNOBS = (
    Knob("orbits.parking_altitude", "parking orbit", "km", 1e3, 150.0, 500.0, 5.0),
    Knob(LAUNCH_DAY, "launch day, later by", "d", 1.0, -15.0, 15.0, 1.0),
    Knob("dates.translunar_time", "time to the Moon", "h", HOUR, 60.0, 110.0, 0.5),
    Knob("orbits.lunar_altitude", "lunar orbit", "km", 1e3, 60.0, 300.0, 5.0),
    Knob("orbits.flyby_altitude", "flyby altitude", "km", 1e3, 100.0, 3000.0, 50.0),
    Knob("mission.surface_stay", "surface stay", "h", HOUR, 2.0, 96.0, 1.0),
    Knob("mission.lunar_orbit_stay", "lunar-orbit stay", "h", HOUR, 2.0, 240.0, 2.0),
    Knob("mission.payload_down", "payload down", "kg", 1.0, 0.0, 1000.0, 10.0),
)


def of(scenario: Scenario) -> tuple[Knob, ...]:
    """Return the knobs that a scenario's profile has."""
    return tuple(knob for knob in KNOBS if knob.read(scenario) is not None)
