"""On which line of a TOML file each key stands; the standard reader does not say.

The scanner knows just enough of TOML to step over values. It never fails: on a broken file it
finds what it can, so that a duplicate can be traced to the line of the first one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

Path = tuple["str | int", ...]

_KEY = r"""(?:"(?:\\.|[^"\\\n])*"|'[^'\n]*'|[A-Za-z0-9_-]+)"""
_DOTTED = rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*"
_STATEMENT = re.compile(
    rf"[ \t]*(?:\[\[[ \t]*(?P<array>{_DOTTED})[ \t]*\]\]"
    rf"|\[[ \t]*(?P<table>{_DOTTED})[ \t]*\]"
    rf"|(?P<key>{_DOTTED})[ \t]*=[ \t]*)"
)
_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*'
    r"|[\[\]{},\n]|[^\[\]{},\n\"'#]+|.",
    re.DOTALL,
)


@dataclass
class Lines:
    """What a scan found: the line of each path, where each table's own keys end, duplicates."""

    first: dict[Path, int] = field(default_factory=dict)
    last: dict[Path, int] = field(default_factory=dict)
    duplicates: list[tuple[Path, int, int]] = field(default_factory=list)

    def of(self, path: Path) -> int:
        """Return the line of a path or, where it has none, of the nearest table around it."""
        while path and path not in self.first:
            path = path[:-1]
        return self.first.get(path, 1)


def scan(text: str) -> Lines:
    """Return the lines of all keys and tables of a TOML text (1-based)."""
    return _Scanner(text).run()


def split_key(dotted: str) -> tuple[str, ...]:
    """Return the parts of a dotted key, unquoted."""
    return tuple(_unquoted(part) for part in re.findall(_KEY, dotted))


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.lines = Lines()
        self.table: Path = ()
        self.arrays: dict[Path, int] = {}
        self.tables: dict[Path, int] = {}
        self.line = 1

    def run(self) -> Lines:
        position = 0
        while position < len(self.text):
            position = self._statement(position)
        return self.lines

    def _statement(self, position: int) -> int:
        match = _STATEMENT.match(self.text, position)
        if match is None:
            return self._skip(position)
        if match["array"]:
            self._open_array(split_key(match["array"]))
        elif match["table"]:
            self._open_table(split_key(match["table"]))
        else:
            return self._value(self.table + split_key(match["key"]), match.end())
        return self._skip(match.end())

    def _open_array(self, keys: Path) -> None:
        path = self._resolved(keys[:-1]) + keys[-1:]
        self.arrays[path] = self.arrays.get(path, -1) + 1
        self._note(path)
        self.table = (*path, self.arrays[path])
        self._note(self.table)
        self.lines.last[self.table] = self.line

    def _open_table(self, keys: Path) -> None:
        self.table = self._resolved(keys)
        if self.table in self.tables:
            self.lines.duplicates.append((self.table, self.tables[self.table], self.line))
        self.tables.setdefault(self.table, self.line)
        # A sub-table may have come first and noted this table on its own line.
        self.lines.first[self.table] = self.tables[self.table]
        self._note(self.table)
        self.lines.last[self.table] = self.line

    def _value(self, path: Path, position: int) -> int:
        if path in self.lines.first:
            self.lines.duplicates.append((path, self.lines.first[path], self.line))
        self._note(path)
        position = self._skip(position, path)
        # The step over the value has also taken the line feed behind it.
        ended = self.text[position - 1 : position] == "\n"
        self.lines.last[self.table] = self.line - ended
        return position

    def _skip(self, position: int, path: Path | None = None) -> int:
        """Step to the start of the next statement; note the line of each item of a list."""
        depth, item, fresh, opener = 0, 0, True, ""
        while position < len(self.text):
            token = _token_at(self.text, position)
            position += len(token)
            if token == "\n" and depth == 0:
                self.line += 1
                return position
            if token in "[{":
                opener = opener or token
            in_list = path is not None and depth == 1 and opener == "["
            if in_list and token == ",":
                item, fresh = item + 1, True
            elif (
                path is not None
                and in_list
                and fresh
                and token != "]"
                and token[0] != "#"
                and token.strip()
            ):
                self._note((*path, item))
                fresh = False
            depth += (token in "[{") - (token in "]}")
            self.line += token.count("\n")
        return position

    def _resolved(self, keys: Path) -> Path:
        """Put the index of the last entry behind every array of tables on the way."""
        path: Path = ()
        for key in keys:
            path = (*path, key)
            if path in self.arrays:
                path = (*path, self.arrays[path])
        return path

    def _note(self, path: Path) -> None:
        for depth in range(1, len(path) + 1):
            self.lines.first.setdefault(path[:depth], self.line)


def _unquoted(part: str) -> str:
    if part.startswith('"'):
        return re.sub(r"\\(.)", r"\1", part[1:-1])
    return part.strip("'")


def _token_at(text: str, position: int) -> str:
    found = _TOKEN.match(text, position)
    if found is None:
        raise ValueError(f"no token of TOML at character {position}")
    return found[0]
