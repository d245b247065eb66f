"""What a panel lets people turn: scenario keys, with the unit and the range of their sliders."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

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
        """Label and unit, where there is one."""
        return f"{self.label} [{self.unit}]" if self.unit else self.label

    @property
    def hint(self) -> str:
        """What the slider spans."""
        return f"{self.label}, {self.span} ({self.key})"

    @property
    def span(self) -> str:
        """The slider's range, with its unit."""
        return f"{self.low:g} to {self.high:g} {self.unit}".rstrip()

    def told(self, value: float) -> str:
        """Return a value with its unit."""
        return f"{value:g} {self.unit}".rstrip()

    @property
    def whole(self) -> bool:
        """Whether only whole numbers can stand here."""
        return self.key == LAUNCH_DAY

    def taken(self, number: float) -> float:
        """Return what a number is taken as: the nearest whole one, where only those can stand."""
        return float(round(number)) if self.whole else number

    def read(self, scenario: Scenario) -> float | None:
        """Return the number a scenario has here, or None where its profile has no use for it."""
        if self.key == LAUNCH_DAY:
            return 0.0
        value = _inside(scenario, self.key)
        return None if value is None else round(value / self.size, 9)

    def write(self, number: float, scenario: Scenario) -> str | float | date:
        """Return the value that a change of the key to `number` has; days count from the file's."""
        if self.key == LAUNCH_DAY:
            return scenario.dates.launch_day + timedelta(days=round(number))
        return f"{number:g} {self.unit}"

    def changes(self, number: float, scenario: Scenario) -> dict[str, Any]:
        """Return what a move to `number` changes, by key."""
        return {self.key: self.write(number, scenario)}


class Count(Knob):
    """A key with a whole number behind it."""

    @property
    def whole(self) -> bool:
        """Only whole numbers can stand here."""
        return True

    def write(self, number: float, scenario: Scenario) -> int:
        """Return the nearest whole number."""
        return round(number)


@dataclass(frozen=True)
class Choice:
    """A key with one of several words behind it."""

    key: str
    title: str
    options: tuple[str, ...]

    @property
    def label(self) -> str:
        """What it is called, as for knobs."""
        return self.title

    @property
    def hint(self) -> str:
        """What there is to choose from."""
        return f"{self.title}: {self.span} ({self.key})"

    @property
    def span(self) -> str:
        """The words."""
        return " or ".join(self.options)

    def told(self, value: str) -> str:
        """Return a value as people read it."""
        return value

    def read(self, scenario: Scenario) -> str | None:
        """Return the word a scenario has here."""
        return _inside(scenario, self.key)

    def changes(self, value: str, scenario: Scenario) -> dict[str, Any]:
        """Return what another choice changes, by key."""
        return {self.key: value}


class SwitchedKnob(Knob):
    """A knob on a table that need not be there: None where it is switched off.

    The one such table is [recovery]. Where the file has none, any distance from the longitude
    is taken as near enough.
    """

    def told(self, value: float | None) -> str:
        """Return a value with its unit."""
        return "off" if value is None else super().told(value)

    def read(self, scenario: Scenario) -> float | None:
        """Return the number, or None where there is no such table."""
        return None if scenario.recovery is None else super().read(scenario)

    def changes(self, number: float | None, scenario: Scenario) -> dict[str, Any]:
        """Return what a move changes: the number, the whole table, or that there is none."""
        if number is None:
            return {"recovery": None}
        if scenario.recovery is not None:
            return super().changes(number, scenario)
        area = {"name": "chosen longitude", "latitude": "0 deg", "radius": "20020 km"}
        return {"recovery": {**area, "longitude": self.write(number, scenario)}}


def _inside(node: Any, key: str) -> Any:  # noqa: ANN401 (whatever a scenario holds)
    """Return what stands at a dotted key; numbers count the entries of a list."""
    for step in key.split("."):
        if isinstance(node, tuple):
            node = node[int(step)]
        elif isinstance(node, Mapping):
            node = node[step]
        else:
            node = getattr(node, step)
    return node


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
