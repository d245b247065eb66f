"""A programme file read and checked: missions, and what they share."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from copy import deepcopy
from pathlib import Path as FilePath
from typing import Any, Literal

from pydantic import Field, PrivateAttr, ValidationError

from mplan.programme import sense
from mplan.programme.missions import Flyable, read_missions
from mplan.programme.models import (
    AnyDay,
    ControlTeam,
    ElementSupply,
    EngineSupply,
    FlightCrew,
    FlightTest,
    LaunchPad,
    LaunchTable,
    LearningCurve,
    PlannedMission,
    Rehearsal,
)
from mplan.programme.money import Money
from mplan.scenario import changes, validation
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.reading import text_file
from mplan.scenario.reading.files import TomlFile, read_toml
from mplan.scenario.reading.lines import Path
from mplan.scenario.table import Key, Name, TomlTable
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import plain


class Programme(TomlTable):
    """Missions and what they share; times in [s], money in the `currency`, days UTC."""

    format: Literal["mplan-programme/1"] = Field(description="Version of this file format.")
    name: Name = Field(description="What the programme is called.", examples=["Lantern"])
    today: AnyDay = Field(description="Nothing is planned before this day.")
    currency: Name = Field(description="What money is counted in.", examples=["crown"])
    builds: Literal["early", "late"] = Field(
        "early", description="Begin units as soon as a line is free, or as late as launches allow."
    )
    learning: LearningCurve | None = Field(None, description="Default: all units cost the same.")
    budget: dict[str, Money] = Field({}, description="What may be spent, by year.")
    pads: dict[Key, LaunchPad] = Field(description="Launch pads, by name.")
    crews: dict[Key, FlightCrew] = Field({}, description="Crews, by name.")
    control_teams: dict[Key, ControlTeam] = Field(description="Control teams, by name.")
    engines: dict[Key, EngineSupply] = Field({}, description="Engines, by name.")
    elements: dict[Key, ElementSupply] = Field(description="Elements, by their scenario names.")
    missions: dict[Key, PlannedMission] = Field(description="Missions, by name.")
    test_flights: dict[Key, FlightTest] = Field({}, description="Test flights, by name.")
    rehearsals: dict[Key, Rehearsal] = Field({}, description="Rehearsals, by name.")

    _file: TomlFile = PrivateAttr()
    _data: dict[str, Any] = PrivateAttr()
    _flyable: dict[str, Flyable] = PrivateAttr()

    @property
    def source(self) -> FilePath:
        """The file this programme was read from."""
        return FilePath(self._file.name)

    @property
    def launches(self) -> dict[str, LaunchTable]:
        """Test flights and missions by name, in the order of the file's tables of each kind."""
        return {**self.test_flights, **self.missions}

    @property
    def scenarios(self) -> Mapping[str, Flyable]:
        """What is flown, and when it can, by mission."""
        return self._flyable

    def title(self, launch: str) -> str:
        """Return what people call a mission, a test flight."""
        return self.launches[launch].name or plain(launch).capitalize()

    def elements_of(self, launch: str) -> tuple[str, ...]:
        """Return the elements that are built for a mission or test flight."""
        flown = self.launches[launch]
        stated = getattr(flown, "elements", None)
        return stated if stated is not None else self._flyable[launch].elements

    def built_as(self, launch: str, element: str) -> str:
        """Return the table in [elements] that an element of a launch is built by."""
        flown = self.launches[launch]
        return (
            flown.built_as.get(element, element) if isinstance(flown, PlannedMission) else element
        )

    def ships_ahead(self, launch: str) -> Mapping[str, int]:
        """Return how many days ahead each ship launched on its own lifts off."""
        return self._flyable[launch].ahead if launch in self._flyable else {}

    def pads_of(self, launch: str) -> tuple[str, ...]:
        """Return the pads that a launch takes up, that of the mission's day first."""
        flown = self.launches[launch]
        own = flown.ships if isinstance(flown, PlannedMission) else {}
        others = (own[x].pad if x in own else None for x in self.ships_ahead(launch))
        return tuple(dict.fromkeys((flown.pad, *(x or flown.pad for x in others))))

    def ship_of(self, launch: str, element: str) -> str:
        """Return which ship lifts an element: "" for that of the mission's day."""
        return self._flyable[launch].lifted.get(element, "") if launch in self._flyable else ""

    def change(self, key: str | Mapping[str, Any], value: object = None) -> Programme:
        """Return a new programme with other values, given as a file would give them.

        `key` is dotted ("elements.core_stage.rate"), or a mapping of such keys to values; None
        takes an optional key out. Raises `ScenarioError` where the result would not do.
        Another build time is one of units that are not begun: those under way keep theirs.
        """
        data, touched = self._data, set()
        asked = changes.asked(key, value)
        for each, new in {**self._kept(asked), **asked}.items():
            data, path = changes.put(data, each, new)
            touched.add(path)
            if new is None and (unknown := validation.unknown_key(Programme, path)):
                raise ScenarioError(_placed([unknown], self._file, touched))
        known = {key: (self.missions[key], each) for key, each in self._flyable.items()}
        return _made(self._file, data, touched, known)

    def _kept(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Return what units under way keep where their element's build time is changed."""
        return {
            f"elements.{name}.under_way_build_time": self._data["elements"][name]["build_time"]
            for name, supply in self.elements.items()
            if f"elements.{name}.build_time" in asked
            and supply.under_way
            and supply.under_way_build_time is None
        }

    def written(self, table: str) -> dict[str, Any]:
        """Return a table as the file, and changes since, state it."""
        return deepcopy(self._data.get(table, {}))

    def where(self, path: Path) -> str:
        """Return the file and line of what stands at `path`, as "file:line"."""
        return f"{self._file.name}:{self._file.lines.of(path)}"


def load_programme(path: str | os.PathLike[str]) -> Programme:
    """Read a programme file; raise `ScenarioError` with everything that is wrong with it."""
    file = read_toml(text_file.name_of(path))
    return _made(file, file.data, set(), {})


def _made(
    file: TomlFile,
    data: dict[str, Any],
    touched: set[Path],
    known: Mapping[str, tuple[PlannedMission, Flyable]],
) -> Programme:
    try:
        programme = Programme.model_validate(data)
    except ValidationError as error:
        told = validation.findings(error, Programme, set())
        raise ScenarioError(_placed(told, file, touched)) from None
    flyable, problems, found = read_missions(programme.missions, file.name, known)
    programme._file, programme._data, programme._flyable = file, data, flyable
    found += sense.findings(programme)
    if problems or found:
        raise ScenarioError([*_placed(found, file, touched), *dict.fromkeys(problems)])
    return programme


def _placed(found: Iterable[KeyProblem], file: TomlFile, touched: set[Path]) -> list[Problem]:
    """Return the findings with file and line, in the order of lines."""

    def place(path: Path) -> tuple[int, str]:
        if any(path[: len(x)] == x or x[: len(path)] == path for x in touched):
            return 0, changes.CHANGED
        line = file.lines.of(path)
        return line, f"{file.name}:{line}"

    ordered = sorted(found, key=lambda each: place(each.path)[0])
    return [Problem(place(x.path)[1], changes.dotted(x.path), x.text) for x in ordered]
