"""A changed scenario written as a short file of its own: based on the file, and what is changed.

Every change may have its reason beside it. Nothing is believed: what was written is read again and
compared. Where a short file cannot say it, as where keys of an element's file are to go, all that
is stated is written out in one.
"""

from __future__ import annotations

import os
import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path as FilePath
from typing import NamedTuple

import tomlkit

from mplan import shipped, writing
from mplan.scenario.changes import Change
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.profiles import as_toml
from mplan.scenario.reading.files import BASE
from mplan.scenario.reading.lines import Path
from mplan.scenario.scenario import Scenario, load

WIDTH = 96  # of a line of comments


class Note(NamedTuple):
    """What is said above all changes that lie at a path or inside it.

    `origin` names an engine's file that is to stand there in place of what its keys say.
    """

    path: Path
    text: str
    origin: str = ""


def write(
    scenario: Scenario,
    path: str | os.PathLike[str],
    head: Sequence[str],
    notes: Sequence[Note] = (),
) -> Scenario:
    """Write `scenario` to `path` and return it as read back from there.

    `head` are lines of comment. Raises `ScenarioError`, and leaves whatever was at `path` as it
    was, for a file that the scenario is read from and where the text would not read back as it.
    """
    target = FilePath(os.path.realpath(path))
    files = scenario._files
    for each in (files.main, *files.bases, *files.taken_in.values()):
        if target == FilePath(os.path.realpath(each.name)):
            text = "the scenario is read from this file; accepted: another name"
            raise ScenarioError([Problem(str(path), "", text)])
    short = _short(scenario, target, head, notes)
    try:
        return _written(short, scenario, path)
    except ScenarioError:
        return _written(_whole(scenario, target, head), scenario, path)


def _written(text: str, scenario: Scenario, path: str | os.PathLike[str]) -> Scenario:
    with writing.replacing(path) as beside:
        beside.write_bytes(text.encode("utf-8"))
        if load(beside).hash != scenario.hash:
            said = "not written: these changes cannot be told in a file of their own"
            raise ScenarioError([Problem(os.fspath(path), "", said)])
    return load(path)


def _short(scenario: Scenario, target: FilePath, head: Sequence[str], notes: Sequence[Note]) -> str:
    base = _beside(scenario.source, target)
    lines = [*_opening(target, head), f'format = "{scenario.format}"', f"{BASE} = {_quoted(base)}"]
    left, dealt = list(scenario.changes), scenario._files.main.dealt
    tables: list[str] = []
    paths = list(dict.fromkeys(note.path for note in notes))
    placed = {path: [x for x in left if _nearest(x.path, paths) == path] for path in paths}
    left = [each for each in left if _nearest(each.path, paths) is None]
    for path, inside in placed.items():
        mine = [note for note in notes if note.path == path]
        lines += ["", *(line for note in mine for line in _comment(note.text))]
        lines += _origins(mine, target)
        gone = {note.path for note in mine if note.origin}
        lines += _lines((x for x in inside if path not in gone or _own(x, path)), tables)
    if left:
        lines += ["", "# changed beside that"]
    if dealt is not None:
        left = [each._replace(path=dealt.as_written(each.path)) for each in left]
    lines += _lines(left, tables)
    return "\n".join([*lines, "", *tables])


def _nearest(path: Path, around: Sequence[Path]) -> Path | None:
    """Return the innermost of some paths that a path lies in."""
    inside = (each for each in around if path[: len(each)] == each)
    return max(inside, key=len, default=None)


def _own(change: Change, path: Path) -> bool:
    """Tell whether an engine's change is one that its element states: how many there are."""
    return change.path == (*path, "count")


def _origins(notes: Sequence[Note], target: FilePath) -> Iterator[str]:
    for note in notes:
        if note.origin:
            yield f"{_dotted((*note.path, 'from'))} = {_quoted(_beside(note.origin, target))}"


def _lines(found: Sequence[Change] | Iterator[Change], tables: list[str]) -> Iterator[str]:
    """Yield a line a change; lists of tables go to `tables`, which follow all keys."""
    for each in found:
        value = each.after
        if isinstance(value, list) and value and all(isinstance(x, dict) for x in value):
            tables.append(as_toml(value))
        elif value is not None:
            yield f"{_dotted(each.path)} = {tomlkit.item(value).as_string()}"


def _whole(scenario: Scenario, target: FilePath, head: Sequence[str]) -> str:
    stated = tomlkit.dumps(scenario.tables_as_written())
    return "\n".join([*_opening(target, head), stated])


def _opening(target: FilePath, head: Sequence[str]) -> list[str]:
    schema = shipped.PACKAGE / "scenario" / "scenario.schema.json"
    place = FilePath(os.path.relpath(schema, target.parent)).as_posix()
    return [f"#:schema {place}", *(line for each in head for line in _comment(each)), ""]


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(text, WIDTH)]


def _beside(origin: str | os.PathLike[str], target: FilePath) -> str:
    """Return how a file is named from where the target lies."""
    return FilePath(os.path.relpath(os.path.realpath(origin), target.parent)).as_posix()


def _quoted(text: str) -> str:
    return tomlkit.item(text).as_string()


def _dotted(path: Path) -> str:
    return ".".join(tomlkit.key(str(step)).as_string() for step in path)
