"""A scenario's files: read, elements taken in from their own files, every key's place known."""

from __future__ import annotations

import os
import re
import sys
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from mplan.scenario.lines import Lines, Path, scan
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.wording import shown

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib


@dataclass(frozen=True)
class Place:
    """A file and a line of it, as a message names them; sorts in reading order."""

    file: str
    line: int

    def __str__(self) -> str:
        """Return `file:line`."""
        return f"{self.file}:{self.line}"


@dataclass(frozen=True)
class TomlFile:
    """One file: its name as given, its text with line feeds only, its tables, its lines."""

    name: str
    text: str
    data: dict[str, Any]
    lines: Lines
    newline: str = "\n"


@dataclass(frozen=True)
class ScenarioFiles:
    """The scenario file, the element files it takes in, and all their tables merged."""

    main: TomlFile
    elements: dict[str, TomlFile]
    data: dict[str, Any]
    problems: list[Problem] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)  # elements whose file could not be read

    def place(self, path: Path) -> Place:
        """Return where a key stands: the scenario's own line first, then the included file's."""
        own, other = self.main.lines, self.elements.get(_element(path))
        while path:
            if path in own.first:
                return Place(self.main.name, own.first[path])
            if other is not None and path[2:] in other.lines.first:
                return Place(other.name, other.lines.first[path[2:]])
            path = path[:-1]
        return Place(self.main.name, 1)


def read_scenario(name: str) -> ScenarioFiles:
    """Read a scenario file and the element files it names; raise `ScenarioError` if it cannot."""
    main = read_toml(name)
    files = ScenarioFiles(main, {}, dict(main.data))
    elements = main.data.get("elements")
    if isinstance(elements, dict):
        files.data["elements"] = {
            key: _with_included(files, key, body) for key, body in elements.items()
        }
    return files


def read_toml(name: str) -> TomlFile:
    """Read one TOML file; raise `ScenarioError` with its line where it is broken."""
    try:
        raw = FilePath(name).read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise ScenarioError([Problem(name, "", "no such file")]) from None
    except UnicodeDecodeError:
        raise ScenarioError([Problem(name, "", "not a text file in UTF-8")]) from None
    except OSError as error:
        raise ScenarioError([Problem(name, "", f"cannot be read: {error.strerror}")]) from None
    text = raw.replace("\r\n", "\n")
    lines = scan(text)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ScenarioError(_syntax(name, text, lines, str(error))) from None
    return TomlFile(name, text, data, lines, "\r\n" if "\r\n" in raw else "\n")


def merged(under: Any, over: Any) -> Any:  # noqa: ANN401  (any TOML value)
    """Return `under` with the keys of `over` laid on it, table by table."""
    if not (isinstance(under, dict) and isinstance(over, dict)):
        return over
    both = {key: merged(under[key], over[key]) for key in under.keys() & over.keys()}
    ordered = {**under, **over}
    return {key: both.get(key, value) for key, value in ordered.items()}


def _with_included(files: ScenarioFiles, key: str, body: object) -> object:
    """Return an element's table with its `from` file laid under it."""
    if not isinstance(body, dict) or not isinstance(body.get("from"), str):
        return body
    place = files.place(("elements", key, "from"))
    name = os.path.join(os.path.dirname(files.main.name), body["from"])
    try:
        included = read_toml(name)
    except ScenarioError as error:
        files.unread.add(key)
        files.problems.extend(
            Problem(str(place), f"elements.{key}.from", f"found {shown(body['from'])}, {each.text}")
            if each.place == name
            else each
            for each in error.problems
        )
        return body
    files.elements[key] = included
    if "from" in included.data:
        where = str(Place(name, included.lines.of(("from",))))
        files.problems.append(Problem(where, "from", "an element file cannot take in another"))
    return merged(included.data, body)


def _element(path: Path) -> str | None:
    return path[1] if len(path) > 1 and path[0] == "elements" else None


def _syntax(name: str, text: str, lines: Lines, message: str) -> list[Problem]:
    """Return what a planner needs to know about a file that is not TOML."""
    if lines.duplicates and message.startswith(("Cannot", "Duplicate")):
        return _duplicates(name, lines)
    found = re.search(r" \(at line (\d+), column \d+\)$", message)
    line = int(found[1]) if found else text.count("\n") + 1
    what = re.sub(r" \(at .*\)$", "", message)
    written = text.split("\n")[line - 1]
    return [Problem(f"{name}:{line}", "", f"not valid TOML: {what}{_advice(written, what)}")]


def _duplicates(name: str, lines: Lines) -> list[Problem]:
    """Return a problem for each key or table given twice, but not for what is inside of it."""
    twice = {path for path, _, _ in lines.duplicates}
    return [
        Problem(f"{name}:{second}", ".".join(map(str, path)), f"already given on line {first}")
        for path, first, second in lines.duplicates
        if not any(path[:depth] in twice for depth in range(1, len(path)))
    ]


def _advice(line: str, what: str) -> str:
    """Name the usual slips: a quote left open, a quantity or a text without quotes."""
    if what.startswith("Illegal character '\\n'"):
        return "; a quote is not closed"
    value = re.match(r"\s*[^=#]+=\s*([^\"'\[{#\s][^#]*?)\s*(#.*)?$", line)
    return f'; write it in quotes: "{value[1]}"' if value and not value[1].endswith('"') else ""
