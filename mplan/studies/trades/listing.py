"""The cases of a list: an axis for each thing that some have otherwise, blank for the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from mplan.scenario import Scenario
from mplan.scenario.reading.files import TomlFile
from mplan.scenario.reading.lines import Path
from mplan.studies.trades import axes
from mplan.studies.trades.models import AxisTable, CaseTable
from mplan.studies.trades.study import AS_PLANNED, Axis, Setting
from mplan.studies.trades.values import Refused

# Where an engine of a case is stated, by where an axis of engines states it.
STATED = {"engines.0": "catalogue", "counts": "count"}


class RefusedCase(ValueError):
    """A case that is none: `path` says where in the file, str() how."""

    def __init__(self, path: Path, text: str) -> None:
        """Keep both."""
        super().__init__(text)
        self.path = path


def of(
    cases: Sequence[CaseTable], scenario: Scenario, file: TomlFile
) -> tuple[tuple[Axis, ...], tuple[tuple[Setting, ...], ...]]:
    """Return the axes of listed cases, and the settings of each case by axis.

    Values come first, in the order in which their keys are first stated, then elements, then
    engines. Raises `RefusedCase`, or `ScenarioError` for an element's file, with what is wrong.
    """
    for number, case in enumerate(cases):
        if not (case.values or case.elements or case.engines):
            text = "nothing differs from the scenario; accepted: `with`, `elements` or `engines`"
            raise RefusedCase(("cases", number), text)
    columns: dict[str, dict[int, Setting]] = {}
    found: list[Axis] = []
    for axis, places in (*_of_values(cases, scenario), *_joined(_others(cases, scenario, file))):
        found.append(axis)
        columns[axis.name] = dict(zip(places, axis.settings, strict=True))
    rows = tuple(
        tuple(columns[axis.name].get(place, AS_PLANNED) for axis in found)
        for place in range(len(cases))
    )
    return tuple(found), rows


def _of_values(
    cases: Sequence[CaseTable], scenario: Scenario
) -> Iterator[tuple[Axis, Sequence[int]]]:
    """Yield the axis of each key, and the places of the cases that state it."""
    for key in dict.fromkeys(key for case in cases for key in case.values):
        places = [i for i, case in enumerate(cases) if key in case.values]
        try:
            axis = axes.of_values(key, tuple(cases[i].values[key] for i in places))
            alone: list[Mapping[str, Any]] = [each.changes for each in axis.settings]
            axes.refuse_unknown(scenario, key, [*alone, *(case.values for case in cases)])
        except Refused as problem:
            step = problem.key.removeprefix("values.")
            place = places[int(step)] if step.isdigit() else places[0]
            raise RefusedCase(("cases", place, "with", key), str(problem)) from None
        yield axis, places


def _others(
    cases: Sequence[CaseTable], scenario: Scenario, file: TomlFile
) -> Iterator[tuple[Axis, int]]:
    """Yield an axis of one setting for each element and engine, with the place of its case."""
    for place, case in enumerate(cases):
        for name, each in case.elements.items():
            path: Path = ("cases", place, "elements", name)
            try:
                yield axes.of_element(name, {path: each}, scenario, file), place
            except Refused as problem:
                raise RefusedCase(path, str(problem)) from None
    for place, case in enumerate(cases):
        for number, engine in enumerate(case.engines):
            table = AxisTable(
                engine_of=engine.engine_of,
                engine=engine.engine,
                engines=(engine.catalogue,),
                counts=(engine.count,),
            )
            path = ("cases", place, "engines", number)
            try:
                yield axes.of(table, scenario, file, path), place
            except Refused as problem:
                where = STATED.get(problem.key, problem.key)
                raise RefusedCase((*path, where), str(problem)) from None


def _joined(others: Iterator[tuple[Axis, int]]) -> Iterator[tuple[Axis, Sequence[int]]]:
    """Yield the axes of like names as one, with the places of the cases of its settings."""
    found: dict[str, dict[int, Setting]] = {}
    for axis, place in others:
        own = found.setdefault(axis.name, {})
        if place in own:
            raise RefusedCase(("cases", place), f"{axis.name} is stated twice; accepted: once")
        (own[place],) = axis.settings
    for name, own in found.items():
        yield Axis(name, "", tuple(own.values())), tuple(own)
