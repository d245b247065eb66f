"""Where the workbooks are, and copies of them set to a scenario or a programme."""

from __future__ import annotations

import ast
import os
import re
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import Any, Literal

import nbformat
from nbformat import NotebookNode

from mplan import shipped
from mplan.scenario import Problem, ScenarioError
from mplan.scenario.changes import Change, dotted

Subject = Literal["SCENARIO", "PROGRAMME"]  # what the file is that a workbook is about

LESSON = "00_"
LESSONS = "lessons"  # the folder of those that teach, beside the workbooks
PATH_LINE = re.compile(r"""^(SCENARIO|PROGRAMME) = (?:"[^"\n]*"|'[^'\n]*')$""", re.MULTILINE)
FOLDER = "MPLAN_WORKBOOKS"  # environment variable that names another folder


def folder() -> Path:
    """Return the folder of the workbooks: MPLAN_WORKBOOKS, else those that come with the kit.

    Raises ScenarioError, as every wrong input does, where it is not there.
    """
    named = os.environ.get(FOLDER)
    place = Path(named) if named else shipped.folder("workbooks")
    if not all_in(place):
        text = f"no workbooks here; accepted: a folder of them, named by {FOLDER}, or none named"
        raise ScenarioError([Problem(str(place), "", text)])
    return place


def all_in(place: Path) -> list[Path]:
    """Return the workbooks in a folder, in the order in which a planner works."""
    return sorted(place.glob("[0-9]*.ipynb"))


def lessons(place: Path) -> list[Path]:
    """Return the lessons beside the workbooks in a folder, and their glossary."""
    return sorted((place / LESSONS).glob("*.ipynb"))


def of_a_mission(books: Iterable[Path]) -> list[Path]:
    """Return the workbooks about the scenario's mission: 00 is a lesson with values of its own."""
    own = [path for path in books if not path.name.startswith(LESSON)]
    return [path for path in own if subject(path) == "SCENARIO"]


def of_a_programme(books: Iterable[Path]) -> list[Path]:
    """Return the workbooks about a programme of missions."""
    return [path for path in books if subject(path) == "PROGRAMME"]


def subject(path: Path) -> Subject:
    """Return which of the two files the parameters of a workbook name: SCENARIO, if unreadable."""
    try:
        cells = _parameters(read(path))
    except ValueError:  # of which nbformat makes everything that is no notebook
        cells = []
    found = [line[1] for cell in cells for line in PATH_LINE.finditer(cell.source)]
    return "PROGRAMME" if "PROGRAMME" in found else "SCENARIO"


def named(path: Path) -> Path | None:
    """Return the file that the parameters of a workbook name; None where they name none."""
    lines = (PATH_LINE.search(cell.source) for cell in _parameters(read(path)))
    line = next(filter(None, lines), None)
    return path.parent / ast.literal_eval(line[0].partition(" = ")[2]) if line else None


def read(path: Path) -> NotebookNode:
    """Return a workbook."""
    return nbformat.read(path, as_version=4)


def set_parameters(book: NotebookNode, scenario: str, changes: Iterable[Change] = ()) -> None:
    """Let the cell tagged `parameters` name a scenario file, and changes to it; the rest stays."""
    values = {dotted(change.path): _as_written(change.after) for change in changes}
    for cell in _parameters(book):
        cell.source = _with(cell.source, {"SCENARIO": scenario, "CHANGES": values})


def _with(source: str, values: Mapping[str, object]) -> str:
    """Return a cell's source with other values assigned to names, each in a line."""
    lines = source.splitlines()
    for node in reversed(ast.parse(source).body):
        if isinstance(node, ast.Assign) and (name := ast.unparse(node.targets[0])) in values:
            lines[node.lineno - 1 : node.end_lineno] = [f"{name} = {values[name]!r}"]
    return "\n".join(lines)


def set_programme(book: NotebookNode, programme: str) -> None:
    """Let the cell tagged `parameters` name a programme's file, as it is and with no other design.

    Changes and designs that were kept there name keys of another file.
    """
    for cell in _parameters(book):
        cell.source = f"PROGRAMME = {programme!r}\nCHANGES = {{}}\nDESIGN = {{}}"


def set_path(book: NotebookNode, kept: NotebookNode, file: str) -> bool:
    """Let a copy of the workbook `kept` name another file it is about; return whether it does.

    Only the line of the path is touched, and only in a cell tagged `parameters` that is otherwise
    as it was kept: what people wrote there stays as it is.
    """
    for cell, original in zip(_parameters(book), _parameters(kept), strict=False):
        named = PATH_LINE.sub(lambda line: f"{line[1]} = {file!r}", cell.source)
        if PATH_LINE.sub("", cell.source) != PATH_LINE.sub("", original.source):
            return named == cell.source
        cell.source = named
    return True


def _parameters(book: NotebookNode) -> list[NotebookNode]:
    return [cell for cell in book.cells if "parameters" in cell.metadata.get("tags", ())]


def path_from(place: Path, file: Path) -> str:
    """Return how to reach a file from a folder: a relative path where there is one."""
    try:
        return Path(os.path.relpath(file.resolve(), place.resolve())).as_posix()
    except ValueError:  # another drive
        return file.resolve().as_posix()


def _as_written(value: Any) -> Any:  # noqa: ANN401 (any TOML value)
    return value.isoformat() if isinstance(value, date) else value
