"""The text of a scenario's file, read only if it can be one; what no such file may hold.

Devices and pipes never end, and a file of many megabytes, a number of thousands of digits or
lists in lists without end are no scenario: each gets its message before anything is made of it.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator

from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.reading.lines import Lines, Path
from mplan.scenario.wording import shown

LARGEST = 4_000_000  # bytes; a hundred times a long scenario
DEEPEST = 30  # tables and lists in one another; a scenario has six
INTEGER_BITS = 64  # TOML 1.0, "Integer"

TOO_DEEP = f"tables or lists lie in one another more than {DEEPEST} deep; accepted: fewer"
TOO_LONG = f"found a whole number of too many digits; accepted: at most {INTEGER_BITS} bits"


def name_of(path: object) -> str:
    """Return the name of a file as text; raise ScenarioError for what is no path."""
    name = os.fspath(path) if isinstance(path, os.PathLike) else path
    if not isinstance(name, str):
        text = f'found {shown(path)}; accepted: the path of a file, like "my_mission.toml"'
        raise ScenarioError([Problem("file", "", text)])
    return name


def read(name: str) -> str:
    """Return the text of a regular file; raise ScenarioError where there is none to read."""
    try:
        raw = _bytes(name)
        return raw.decode("utf-8-sig")
    except FileNotFoundError:
        raise _refused(name, "no such file") from None
    except UnicodeDecodeError:
        raise _refused(name, "not a text file in UTF-8") from None
    except OSError as error:
        raise _refused(name, f"cannot be read: {error.strerror}") from None
    except ValueError:  # a NUL, or half of a character
        raise _refused(repr(name), "no name of a file") from None


def require_plain(name: str, data: dict, lines: Lines) -> None:
    """Raise ScenarioError where a file holds an integer beyond TOML's, or is nested too deep."""
    found = []
    for path, value in _leaves(data):
        place, key = f"{name}:{lines.of(path)}", ".".join(map(str, path))
        if isinstance(value, int) and value.bit_length() >= INTEGER_BITS:
            found.append(Problem(place, key, TOO_LONG))
        if len(path) > DEEPEST:
            raise ScenarioError([Problem(place, ".".join(map(str, path[:3])), TOO_DEEP)])
    if found:
        raise ScenarioError(found)


def _bytes(name: str) -> bytes:
    # Asked without waiting: a pipe that nobody writes to would hold the reader for ever.
    handle = os.open(name, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise _refused(name, "not a file; accepted: a text file, no folder, device or pipe")
        raw = file.read(LARGEST + 1)
    if raw is None:  # the kernel's log and the like, which look like files
        raise _refused(name, "nothing can be read from it")
    if len(raw) > LARGEST:
        raise _refused(name, f"larger than {LARGEST / 1e6:.0f} MB; accepted: a scenario's text")
    return raw


def _refused(name: str, text: str) -> ScenarioError:
    return ScenarioError([Problem(name, "", text)])


def _leaves(data: object) -> Iterator[tuple[Path, object]]:
    """Yield every value that is no table or list, or that lies too deep, with its path."""
    ahead: list[tuple[Path, object]] = [((), data)]
    while ahead:
        path, value = ahead.pop()
        if isinstance(value, (dict, list)) and len(path) <= DEEPEST:
            inside = value.items() if isinstance(value, dict) else enumerate(value)
            ahead.extend(((*path, key), each) for key, each in inside)
        else:
            yield path, value
