"""A scenario written back into its file's own text: comments, order and line ends survive.

Values that are there are replaced in place (tomlkit); new keys are put in as lines of text right
behind the last key of their table, where tomlkit would put them behind the comment that belongs
to the next one. Nothing is believed: the result is read again and compared before it replaces
the file that was there.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path as FilePath
from typing import Any

import tomlkit
from tomlkit.items import InlineTable

from mplan import writing
from mplan.scenario.changes import Change
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.profiles import as_toml
from mplan.scenario.reading.files import BASE, read_toml
from mplan.scenario.reading.lines import Path, scan
from mplan.scenario.scenario import Scenario, load


def save(scenario: Scenario, path: str | os.PathLike[str]) -> Scenario:
    """Write `scenario` to `path` and return it as read back from there.

    Raises `ScenarioError`, and leaves whatever was at `path` as it was, if the text would not
    read back as this scenario or if `path` has been edited since the scenario was read.
    """
    target = FilePath(os.path.realpath(path))
    main = scenario._files.main
    _refuse_overwriting(scenario, target, str(path))
    changes = scenario.changes
    if main.dealt is not None:
        changes = tuple(x._replace(path=main.dealt.as_written(x.path)) for x in changes)
    text = _edited(main.text, changes)
    text = _with_moved_sources(text, scenario, target.parent)
    _write(text.replace("\n", main.newline), target, scenario)
    return load(path)


def _refuse_overwriting(scenario: Scenario, target: FilePath, name: str) -> None:
    """Protect the files taken in, and edits made to the scenario file since it was read."""
    files = scenario._files
    for path, each in files.taken_in.items():
        if target == FilePath(os.path.realpath(each.name)):
            kind = "an engine" if "engines" in path[2:] else "an element"
            text = f"this is {kind} file that the scenario takes in; save under another name"
            _refuse(name, text)
    if any(target == FilePath(os.path.realpath(each.name)) for each in files.bases):
        _refuse(name, "this is a file that the scenario is based on; save under another name")
    own = target == FilePath(os.path.realpath(files.main.name))
    if own and target.exists() and read_toml(str(target)).text != files.main.text:
        _refuse(name, "edited since it was read; load it again, or save under another name")


def _edited(text: str, changes: Iterable[Change]) -> str:
    """Return the text with every change in it."""
    document = tomlkit.parse(text)
    added = [change for change in changes if not _assigned(document, change)]
    # What an element file states cannot be taken out here; the comparison will refuse it.
    added = [change for change in added if change.after is not None]
    text = document.as_string()
    for change in added:
        text = _inserted(text, change)
    return text


def _assigned(document: tomlkit.TOMLDocument, change: Change) -> bool:
    """Replace or take out a value that stands in the document; return whether it is done."""
    *parents, key = change.path
    node = _node(document, tuple(parents))
    if node is None or not _holds(node, key):
        return False
    if change.after is None or _is_list_of_tables(change.after):
        del node[key]
        return change.after is None
    node[str(key)] = change.after
    return True


def _holds(node: Any, step: str | int) -> bool:  # noqa: ANN401  (any node of the document)
    return step < len(node) if isinstance(step, int) else step in node


def _inserted(text: str, change: Change) -> str:
    """Return the text with a new key, behind the last key of its table."""
    *parents, key = change.path
    if _is_list_of_tables(change.after):
        return f"{text.rstrip()}\n\n{as_toml(change.after)}"
    last, table = scan(text).last, tuple(parents)
    document = tomlkit.parse(text)
    node = _node(document, table)
    if isinstance(node, InlineTable):
        node[str(key)] = change.after
        return document.as_string()
    value = tomlkit.item(change.after).as_string()
    if table in last:
        return _with_line(text, last[table], f"{_dotted((key,))} = {value}")
    if node is not None and not any(path[: len(table)] == table for path in last):
        # The table is made of dotted keys in a table around it.
        owner = next(table[:n] for n in range(len(table), -1, -1) if table[:n] in last)
        return _with_line(text, last[owner], f"{_dotted(change.path[len(owner) :])} = {value}")
    lines = f"\n[{_dotted(table)}]\n{_dotted((key,))} = {value}"
    return _with_line(text, _end_of_family(last, table), lines)


def _node(document: tomlkit.TOMLDocument, path: Path) -> Any:  # noqa: ANN401  (any node)
    """Return what stands at a path of the document, or None."""
    node: Any = document
    for step in path:
        if not _holds(node, step):
            return None
        node = node[step]
    return node


def _end_of_family(last: dict[Path, int], table: Path) -> int:
    """Return the last line of the nearest table around a new one, its sub-tables included."""
    for depth in range(len(table) - 1, 0, -1):
        lines = [line for path, line in last.items() if path[:depth] == table[:depth]]
        if lines:
            return max(lines)
    return max(last.values())


def _with_line(text: str, after: int, new: str) -> str:
    lines = text.split("\n")
    return "\n".join([*lines[:after], new, *lines[after:]])


def _with_moved_sources(text: str, scenario: Scenario, folder: FilePath) -> str:
    """Return the text with `from` paths that hold in another folder."""
    here = FilePath(os.path.realpath(scenario.source)).parent
    if folder == here:
        return text
    document = tomlkit.parse(text)
    if BASE in document and (here / str(document[BASE])).exists():
        document[BASE] = _moved(here / str(document[BASE]), folder)
    for path in (*scenario._files.taken_in, *scenario._files.winds):
        table = _node(document, path)
        if table is None or "from" not in table:  # it is an element file that says so
            continue
        origin = here / table["from"]
        if not origin.exists():  # it is the kit's, found from everywhere
            continue
        table["from"] = _moved(origin, folder)
    return document.as_string()


def _moved(origin: FilePath, folder: FilePath) -> str:
    """Return the path that leads from a folder to a file."""
    try:
        return FilePath(os.path.relpath(origin, folder)).as_posix()
    except ValueError:  # another drive
        raise ScenarioError(
            [Problem(str(folder), "", f"no relative path leads from here to {origin}")]
        ) from None


def _write(text: str, target: FilePath, scenario: Scenario) -> None:
    """Put the text into a file beside the target, read it back, then put it in its place."""
    with writing.replacing(target) as beside:
        beside.write_bytes(text.encode("utf-8"))
        _refuse_unless_same(beside, scenario, target)


def _refuse_unless_same(written: FilePath, scenario: Scenario, target: FilePath) -> None:
    try:
        same = _meaning(load(written)) == _meaning(scenario)
    except ScenarioError:
        same = False
    if not same:
        _refuse(str(target), "not saved: these changes cannot be written into this file's text")


def _meaning(scenario: Scenario) -> dict[str, Any]:
    """Return everything but where elements and engines were taken from."""
    engines = {"__all__": {"origin"}}
    elements: Any = {"__all__": {"origin": True, "engines": engines}}
    return scenario.model_dump(exclude={"elements": elements, "climb": {"wind": {"origin"}}})


def _is_list_of_tables(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(e, dict) for e in value)


def _dotted(path: Path) -> str:
    """Return a path as TOML writes it, quoted where it must be."""
    return ".".join(tomlkit.key(str(step)).as_string() for step in path)


def _refuse(place: str, text: str) -> None:
    raise ScenarioError([Problem(place, "", text)])
