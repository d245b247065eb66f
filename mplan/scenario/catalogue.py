"""A catalogue of engines: a folder with one file each, every one read and checked by itself."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from mplan import shipped
from mplan.scenario import former, validation
from mplan.scenario.engines import Engine
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.reading.files import NOT_IN_AN_ENGINE, TomlFile, not_here, read_toml
from mplan.scenario.scenario import Scenario

_MOUNTED = {"count": 1, "fuel": "fuel"}  # stands for what the element will say


@dataclass(frozen=True)
class Listed:
    """An engine of a catalogue: its file, the file's tables, and one of it as the kit reads it."""

    file: str
    data: dict[str, Any]
    engine: Engine

    @property
    def name(self) -> str:
        """What people call it."""
        return self.engine.label or FilePath(self.file).stem


def folder(scenario: Scenario, element: str, engine: str) -> FilePath:
    """Return the folder that an engine of the scenario comes from.

    For one that is written into its element, that is `engines` beside the scenario, or those of
    the kit where there are none.
    """
    file = scenario._files.taken_in.get(("elements", element, "engines", engine))
    return (
        FilePath(file.name).parent if file else shipped.engines(scenario.source.parent / "engines")
    )


def read(where: str | os.PathLike[str]) -> tuple[Listed, ...]:
    """Return the engines of a folder, in order of their files' names.

    Raises `ScenarioError` with everything that is wrong with any of them.
    """
    paths = sorted(FilePath(where).glob("*.toml"))
    if not paths:
        text = "no engine files (*.toml) here; a catalogue has one engine a file"
        raise ScenarioError([Problem(os.fspath(where), "", text)])
    problems: list[Problem] = []
    found = [each for path in paths if (each := _listed(path, problems)) is not None]
    if problems:
        raise ScenarioError(problems)
    return tuple(found)


def _listed(path: FilePath, problems: list[Problem]) -> Listed | None:
    """Return the engine of a file; or None, with what is wrong added to `problems`."""
    try:
        file = read_toml(path.as_posix())
    except ScenarioError as error:
        problems.extend(error.problems)
        return None
    problems.extend(not_here(file, NOT_IN_AN_ENGINE))
    if old := list(former.findings(file.data, "elements.*.engines.*")):
        problems.extend(_placed(file, old))
        return None
    try:
        bare = {key: value for key, value in file.data.items() if key not in NOT_IN_AN_ENGINE}
        return Listed(file.name, file.data, Engine.model_validate({**bare, **_MOUNTED}))
    except ValidationError as error:
        problems.extend(_placed(file, validation.findings(error, Engine, set())))
        return None


def _placed(file: TomlFile, found: Iterable[validation.KeyProblem]) -> list[Problem]:
    return [
        Problem(f"{file.name}:{file.lines.of(each.path)}", ".".join(map(str, each.path)), each.text)
        for each in found
    ]
