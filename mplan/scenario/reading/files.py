"""A scenario's files: read, elements and engines taken in from theirs, every key's place known."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path as FilePath
from typing import Any

from mplan import shipped
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.raw import table as table_at
from mplan.scenario.reading import text_file
from mplan.scenario.reading.lines import Lines, Path, scan
from mplan.scenario.reading.wind_file import read_wind
from mplan.scenario.ships import one_list
from mplan.scenario.ships.one_list import Dealt
from mplan.scenario.wording import shown

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib


BASE = "based_on"  # the key that names the scenario file under this one


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
    dealt: Dealt | None = None  # where its events stood, of one list for several ships

    def states(self, path: Path) -> bool:
        """Tell whether the file has a path, on a line of its own or inside an inline table."""
        if path in self.lines.first:
            return True
        found: Any = self.data
        for step in path:
            if not isinstance(found, dict) or step not in found:
                return False
            found = found[step]
        return bool(path)


@dataclass(frozen=True)
class ScenarioFiles:
    """The scenario file, the files that it takes in, and all their tables merged.

    `taken_in` has them by the path of the table that they lie under: `("elements", "lander")`,
    `("elements", "lander", "engines", "main")`.
    """

    main: TomlFile
    data: dict[str, Any]
    taken_in: dict[Path, TomlFile] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    winds: dict[Path, str] = field(default_factory=dict)  # files of tables of wind
    unread: set[Path] = field(default_factory=set)  # tables whose file could not be read
    bases: tuple[TomlFile, ...] = ()  # what this one is based on, what that is based on, ...

    def place(self, path: Path) -> Place:
        """Return where a key stands: the scenario's own line, else the element's, the engine's."""
        tables = ((), path[:2], path[:4])
        while path:
            for table in tables:
                inner = path[len(table) :]
                for file in self._files_of(table):
                    taken = file not in self.bases or path[:1] == () or path[0] in self.data
                    if taken and file.states(inner):
                        return Place(file.name, file.lines.of(inner))
            path = path[:-1]
        return Place(self.main.name, 1)

    def _files_of(self, table: Path) -> Iterator[TomlFile]:
        """Yield the files whose tables lie at a path, the one that overrides the others first."""
        if not table:
            yield self.main
            yield from self.bases
        elif table in self.taken_in:
            yield self.taken_in[table]


def read_scenario(name: str) -> ScenarioFiles:
    """Read a scenario file and the files that it names; raise `ScenarioError` if it cannot."""
    main = read_toml(name)
    (main, *under), wrong = _dealt_out((main, *_bases(main)))
    bases = tuple(under)
    laid = (x.data for x in (*reversed(bases), main))
    data = based(*laid) if bases else dict(main.data)
    files = ScenarioFiles(main, data, problems=wrong, bases=bases)
    elements = data.get("elements")
    if isinstance(elements, dict):
        files.data["elements"] = {
            key: _element(files, ("elements", key), body) for key, body in elements.items()
        }
    climb = data.get("climb")
    if isinstance(climb, dict) and isinstance(climb.get("wind"), dict):
        files.data["climb"] = {**climb, "wind": _wind(files, ("climb", "wind"), climb["wind"])}
    return files


def _dealt_out(files: tuple[TomlFile, ...]) -> tuple[list[TomlFile], list[Problem]]:
    """Return files with the events of several ships dealt out to them, and what is wrong.

    A file may name the ships of those that it is based on, which follow it.
    """
    found, wrong = [], []
    for place, file in enumerate(files):
        ships = dict.fromkeys(x for each in files[place:] for x in table_at(each.data, "ships"))
        parts = one_list.dealt(file.data, tuple(ships))
        for each in parts.problems:
            key = ".".join(map(str, each.path))
            wrong.append(Problem(str(Place(file.name, file.lines.of(each.path))), key, each.text))
        if parts.before or parts.problems:
            lines = parts.lines(file.lines)
            file = replace(file, data=parts.data, lines=lines, dealt=parts)
        found.append(file)
    return found, wrong


def based(*files: dict[str, Any]) -> dict[str, Any]:
    """Return the tables of a scenario, the last one, laid on those that it is based on.

    Lists are taken whole. The events of another are left out where stack, profile or ships
    differ from its own, and so are elements that then stand in no stack. A ship that an earlier
    mission left takes the place of the one that another would launch.
    """
    data: dict[str, Any] = {}
    for each in files:
        own = {key: value for key, value in each.items() if key != BASE}
        told = own.get("mission", {})
        other = {"stack", "ships"} & own.keys() or (isinstance(told, dict) and "profile" in told)
        data = merged(data, own)
        mine = own.get("ships")
        for name, ship in mine.items() if isinstance(mine, dict) else ():
            if isinstance(ship, dict) and "left_by" in ship:
                data["ships"] = {**data["ships"], name: ship}
        if other and "events" not in own:
            data.pop("events", None)
    return _without_unused(data, files[-1])


def _without_unused(data: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """Return tables without the elements that stand in no stack, but for a file's `own`."""
    ships, elements, mine = data.get("ships"), data.get("elements"), own.get("elements", {})
    if not (isinstance(elements, dict) and isinstance(mine, dict)):
        return data
    stacks = [data.get("stack")]
    if isinstance(ships, dict):
        stacks += [x.get("stack") for x in ships.values() if isinstance(x, dict)]
    lifted = {x for stack in stacks if isinstance(stack, list) for x in stack}
    used = {key: x for key, x in elements.items() if key in lifted or key in mine}
    return {**data, "elements": used}


def _bases(main: TomlFile) -> tuple[TomlFile, ...]:
    """Return the scenario that one is based on, then the one under that, and so on."""
    found: list[TomlFile] = []
    above = main
    while (below := _base(above)) is not None:
        if any(_same(below, each) for each in (main, *found)):
            text = f"found {shown(above.data[BASE])}, which leads back to {below.name}; accepted: "
            raise ScenarioError([_at_base(above, f"{text}a file that is not based on this one")])
        found.append(below)
        above = below
    return tuple(found)


def _same(one: TomlFile, other: TomlFile) -> bool:
    return os.path.realpath(one.name) == os.path.realpath(other.name)


def _at_base(file: TomlFile, text: str) -> Problem:
    return Problem(str(Place(file.name, file.lines.of((BASE,)))), BASE, text)


def _base(file: TomlFile) -> TomlFile | None:
    """Return the scenario that one is based on, None where it stands for itself."""
    named = file.data.get(BASE)
    if named is None:
        return None
    if not isinstance(named, str):
        text = f"found {shown(named)}; accepted: the name of a scenario file"
        raise ScenarioError([_at_base(file, text)])
    name = named_beside(file.name, named)
    try:
        return read_toml(name)
    except ScenarioError as error:
        first = error.problems[0]
        at_home = first.place == name
        text = (
            f"found {shown(named)}, {first.text}" if at_home else f"found {shown(named)}: {first}"
        )
        raise ScenarioError([_at_base(file, text)]) from None


def named_beside(file: str, named: str) -> str:
    """Return the name of a scenario that another file names, seen from there; else the kit's."""
    name, missing = _beside(file, named)
    shipped_one = shipped.folder("scenarios") / FilePath(named).name
    return shipped_one.as_posix() if missing and shipped_one.is_file() else name


def read_toml(name: str) -> TomlFile:
    """Read one TOML file; raise `ScenarioError` with its line where it is broken."""
    raw = text_file.read(name)
    text = raw.replace("\r\n", "\n")
    lines = scan(text)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ScenarioError(_syntax(name, text, lines, str(error))) from None
    except RecursionError:
        raise ScenarioError([Problem(name, "", text_file.TOO_DEEP)]) from None
    except ValueError:  # Python reads no number of thousands of digits
        raise ScenarioError([Problem(name, "", text_file.TOO_LONG)]) from None
    text_file.require_plain(name, data, lines)
    return TomlFile(name, text, data, lines, "\r\n" if "\r\n" in raw else "\n")


def merged(under: Any, over: Any) -> Any:  # noqa: ANN401  (any TOML value)
    """Return `under` with the keys of `over` laid on it, table by table."""
    if not (isinstance(under, dict) and isinstance(over, dict)):
        return over
    both = {key: merged(under[key], over[key]) for key in under.keys() & over.keys()}
    ordered = {**under, **over}
    return {key: both.get(key, value) for key, value in ordered.items()}


def read_element(file: TomlFile, path: Path, named: str) -> dict[str, Any]:
    """Return an element's tables from a file that another one names at `path`, engines and all.

    Raises `ScenarioError` with what is wrong with the element's files.
    """
    files = ScenarioFiles(file, file.data)
    body = _element(files, path, {"from": named})
    if files.problems or not isinstance(body, dict):
        raise ScenarioError(files.problems)
    return body


def _element(files: ScenarioFiles, path: Path, body: object) -> object:
    """Return an element's table with its file laid under it, and its engines' under them."""
    body = _with_included(files, path, body, _NOT_IN_AN_ELEMENT)
    if not isinstance(body, dict) or not isinstance(body.get("engines"), dict):
        return body
    complete = {
        key: _with_included(files, (*path, "engines", key), engine, NOT_IN_AN_ENGINE)
        for key, engine in body["engines"].items()
    }
    return {**body, "engines": complete}


def _wind(files: ScenarioFiles, path: Path, body: dict[str, Any]) -> dict[str, Any]:
    """Return a table of wind with the rows of its `from` file laid under it."""
    if not isinstance(body.get("from"), str):
        return body
    place = files.place((*path, "from"))
    name, missing = _beside(place.file, body["from"])
    try:
        rows = read_wind(name)
    except ScenarioError as error:
        files.unread.add(path)
        files.problems.extend(_blamed(error, place, path, body["from"], name, missing))
        return body
    files.winds[path] = name
    return {"rows": rows, **body}


_NOT_IN_AN_ELEMENT = {"from": "an element file cannot take in another"}
_MOUNTED = "belongs to the element that mounts the engine; leave it out here"
NOT_IN_AN_ENGINE = {
    "from": "an engine file cannot take in another",
    **dict.fromkeys(("count", "fuel", "oxidiser"), _MOUNTED),
}


def _with_included(
    files: ScenarioFiles, path: Path, body: object, refused: dict[str, str]
) -> object:
    """Return a table with its `from` file laid under it; the file may not have `refused` keys."""
    if not isinstance(body, dict) or not isinstance(body.get("from"), str):
        return body
    place = files.place((*path, "from"))
    name, missing = _beside(place.file, body["from"])
    try:
        included = read_toml(name)
    except ScenarioError as error:
        files.unread.add(path)
        files.problems.extend(_blamed(error, place, path, body["from"], name, missing))
        return body
    files.taken_in[path] = included
    files.problems.extend(not_here(included, refused))
    return merged(included.data, body)


def _beside(file: str, origin: str) -> tuple[str, bool]:
    """Return the name of a file that another one names, and whether it is missing there.

    As seen from the file that says so; one that is missing there may be the kit's.
    """
    name = FilePath(os.path.normpath(os.path.join(os.path.dirname(file), origin))).as_posix()
    missing = not os.path.lexists(name)
    if missing and (shared := shipped.shared(FilePath(name))):
        name = shared.as_posix()
    return name, missing


def _blamed(
    error: ScenarioError, place: Place, path: Path, origin: str, name: str, missing: bool
) -> Iterator[Problem]:
    """Yield a file's problems; that it cannot be read at all is one of the line that names it."""
    key = ".".join(map(str, (*path, "from")))
    for each in error.problems:
        if each.place == name:
            text = f"found {shown(origin)}, {each.text}{_searched(name, missing)}"
            yield Problem(str(place), key, text)
        else:
            yield each


def _searched(name: str, missing: bool) -> str:
    """Return where a file that is missing was looked for, if there is a second place for it."""
    file = FilePath(name)
    if not missing or file.parent.name not in shipped.SHARED:
        return ""
    return f": neither {name} nor in {shipped.folder('scenarios') / file.parent.name}"


def not_here(file: TomlFile, refused: dict[str, str]) -> list[Problem]:
    """Return a problem for each key of a file that has no place in it."""
    return [
        Problem(str(Place(file.name, file.lines.of((key,)))), key, text)
        for key, text in refused.items()
        if key in file.data
    ]


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
