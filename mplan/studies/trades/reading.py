"""A study file read and checked: every problem with its file, line and key."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path as FilePath
from typing import NoReturn

from pydantic import ValidationError

from mplan.scenario import Problem, Scenario, ScenarioError, changes, load, validation
from mplan.scenario.reading import text_file
from mplan.scenario.reading.files import TomlFile, named_beside, read_toml
from mplan.scenario.reading.lines import Path
from mplan.scenario.wording import shown
from mplan.studies.trades import axes, listing
from mplan.studies.trades.models import StudyTable
from mplan.studies.trades.study import MOST, Axis, Objective, TradeStudy
from mplan.studies.trades.values import Refused


def load_study(path: str | os.PathLike[str]) -> TradeStudy:
    """Read a study file and its mission; raise `ScenarioError` with what is wrong with it."""
    file = read_toml(text_file.name_of(path))
    try:
        table = StudyTable.model_validate(file.data)
    except ValidationError as error:
        found = validation.findings(error, StudyTable, set())
        raise ScenarioError(_problem(file, x.path, x.text) for x in found) from None
    _refuse_contradictions(file, table)
    scenario = _scenario(file, table.scenario)
    study = TradeStudy(
        table.name,
        scenario,
        table.kind,
        tuple(_axes(file, table, scenario)),
        table.climb,
        table.tell,
        tuple(Objective(x.figure, x.best) for x in table.objectives),
        FilePath(file.name),
        file.lines,
    )
    if table.kind == "list":
        study = _listed(file, table, scenario, study)
    _refuse_count(file, study)
    return study


def _axes(file: TomlFile, table: StudyTable, scenario: Scenario) -> Iterator[Axis]:
    for number, each in enumerate(table.axes):
        path: Path = ("axes", number)
        try:
            yield axes.of(each, scenario, file, path)
        except Refused as problem:
            steps = (int(x) if x.isdigit() else x for x in problem.key.split(".") if x)
            _refuse(file, (*path, *steps), str(problem))


def _listed(file: TomlFile, table: StudyTable, scenario: Scenario, study: TradeStudy) -> TradeStudy:
    """Return a study of listed cases."""
    try:
        found, rows = listing.of(table.cases, scenario, file)
    except listing.RefusedCase as problem:
        _refuse(file, problem.path, str(problem))
    return replace(study, axes=found, of_list=rows)


def _scenario(file: TomlFile, named: str) -> Scenario:
    """Return the mission of a study: a file as seen from it, else the kit's of that name."""
    name = named_beside(file.name, named if named.endswith(".toml") else f"{named}.toml")
    if not os.path.isfile(name):
        text = f"found {shown(named)}, no such file, nor a mission that comes with the kit"
        _refuse(file, ("scenario",), text)
    return load(name)


def _refuse_contradictions(file: TomlFile, table: StudyTable) -> None:
    """Refuse axes or cases that the kind of study has no use for, and figures named twice."""
    if table.kind == "list" and table.axes:
        _refuse(file, ("axes",), 'a study of kind = "list" has `cases`, no axes')
    if table.kind != "list" and table.cases:
        text = f'found cases, and kind = {shown(table.kind)}; accepted: kind = "list"'
        _refuse(file, ("cases",), text)
    if not (table.axes or table.cases):
        key = "cases" if table.kind == "list" else "axes"
        _refuse(file, (), f"no cases: the study states no [[{key}]]")
    seen: set[str] = set()
    for number, each in enumerate(table.objectives):
        if each.figure in seen:
            _refuse(file, ("objectives", number, "figure"), f"{shown(each.figure)} stands twice")
        seen.add(each.figure)


def _refuse_count(file: TomlFile, study: TradeStudy) -> None:
    """Refuse a study of no or of too many cases, and a key that two axes vary."""
    if not 1 <= study.count <= MOST:
        found = f"{study.count:,} cases, {_sizes(study)}" if study.count else "no cases"
        _refuse(file, ("axes",), f"{found}; accepted: from 1 to {MOST:,}")
    names = [each.name for each in study.axes]
    for number, name in enumerate(names):
        if name in names[:number]:
            _refuse(file, ("axes", number), f"{name} is varied by two axes; accepted: one")


def _sizes(study: TradeStudy) -> str:
    return " times ".join(f"{len(each.settings):,}" for each in study.axes)


def _refuse(file: TomlFile, path: Path, text: str) -> NoReturn:
    raise ScenarioError([_problem(file, path, text)])


def _problem(file: TomlFile, path: Path, text: str) -> Problem:
    return Problem(f"{file.name}:{file.lines.of(path)}", changes.dotted(path), text)
