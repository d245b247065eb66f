"""The keys of two scenarios that mean something else, with both values as they are written.

Compared are the tables as they come to be, with what a file is based on or takes in laid under
it. Two ways to write one value ("185 km", "185000 m"), or a default that the other file states,
make no difference.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from datetime import date
from itertools import zip_longest
from math import isclose
from typing import Any, NamedTuple

from pydantic import BaseModel

from mplan.comparing.pairing import paired
from mplan.scenario import Event, Scenario
from mplan.scenario.changes import dotted
from mplan.scenario.reading.lines import Path

MOST_NAMED = 12  # entries of a list that are written out
SAME = 1e-12  # relative: what one value written in two units may differ by
_UNKNOWN = object()
_Told = tuple[Event, dict[str, Any]]  # an event as it is read, and as it is written
_Row = tuple[int, _Told]  # the event at a place of a list


class KeyPair(NamedTuple):
    """A dotted key and its values as written, with their units; None where a file has none."""

    key: str
    a: str | None
    b: str | None


def differing(a: Scenario, b: Scenario) -> tuple[KeyPair, ...]:
    """Return the keys that differ, in the order of the first file; events come last."""
    first, second = a.tables_as_written(), b.tables_as_written()
    own = _events_apart(first), _events_apart(second)
    found = [x for x in _differing((), first, second) if not _means_the_same(x[0], a, b)]
    pairs = [KeyPair(dotted(path), _written(x), _written(y)) for path, x, y in found]
    for ship in dict.fromkeys((*own[0], *own[1])):
        one, other = _view(a, ship), _view(b, ship)
        if one is not None and other is not None:
            pairs += _of_events(ship, one, other)
    return tuple(pairs)


def _events_apart(tables: dict[str, Any]) -> list[str]:
    """Take the events out of tables; return the ships that state some, "" being the main one."""
    ships = tables.get("ships", {})
    stated = [name for name, ship in ships.items() if ship.pop("events", None)]
    return [*stated, *([""] if tables.pop("events", None) else [])]


def _view(scenario: Scenario, ship: str) -> Scenario | None:
    """Return the mission as a ship sees it; None where it launches none of that name."""
    return scenario.views.get(ship) if ship else scenario


def _differing(path: Path, first: Any, second: Any) -> Iterator[tuple[Path, Any, Any]]:  # noqa: ANN401
    """Yield every leaf that differs; an element, tank, engine or ship that one has not, whole."""
    both = isinstance(first, dict) and isinstance(second, dict)
    either = isinstance(first or second, dict) and (first is None or second is None)
    if both or (either and not _has_a_name(path)):
        one, other = first or {}, second or {}
        for key in dict.fromkeys((*one, *other)):
            yield from _differing((*path, key), one.get(key), other.get(key))
    elif _rows(first) and _rows(second):
        for place, (row, beside) in enumerate(zip_longest(first, second)):
            yield from _differing((*path, place), row, beside)
    elif first != second:
        yield path, first, second


def _has_a_name(path: Path) -> bool:
    """Tell whether a table is one of several, which files name or number as they like."""
    if path and isinstance(path[-1], int):
        return True
    if path[:1] == ("ships",):
        return len(path) == 2
    parts = len(path) == 4 and path[2] in ("tanks", "engines")
    return path[:1] == ("elements",) and (len(path) == 2 or parts)


def _rows(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(x, dict) for x in value)


def _means_the_same(path: Path, a: Scenario, b: Scenario) -> bool:
    """Tell whether a key is read as one value in both, however it is written, or left out."""
    one, other = _read(a, path), _read(b, path)
    if one is _UNKNOWN or other is _UNKNOWN:
        return False
    if isinstance(one, float) and isinstance(other, float):
        return isclose(one, other, rel_tol=SAME)
    return type(one) is type(other) and one == other


def _read(scenario: Scenario, path: Path) -> object:
    """Return what was read at a path; _UNKNOWN where files and scenario differ in shape."""
    found: object = scenario
    for step in path:
        if isinstance(found, BaseModel):
            found = getattr(found, step, _UNKNOWN) if isinstance(step, str) else _UNKNOWN
        elif isinstance(found, Mapping):
            found = found.get(step, _UNKNOWN)
        elif isinstance(found, tuple | list) and isinstance(step, int) and step < len(found):
            found = found[step]
        else:
            return _UNKNOWN
    return found


def _written(value: object) -> str | None:
    """Return a value as its file has it, text without quotes; None where there is none."""
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return f"a table of {len(value)} keys"
    if isinstance(value, list):
        plain = len(value) <= MOST_NAMED and not any(isinstance(x, list | dict) for x in value)
        return ", ".join(map(str, value)) if plain else f"a list of {len(value)}"
    return str(value)


def _of_events(ship: str, a: Scenario, b: Scenario) -> Iterator[KeyPair]:
    """Yield what is written otherwise of two lists of events, each event beside its like.

    The number in a key is the event's place in the list of A or, where A has none like it, of B.
    """
    under = ("ships", ship) if ship else ()
    rows = [list(enumerate(zip(x.events, x.events_as_written(), strict=True))) for x in (a, b)]
    for one, other in paired(rows[0], rows[1], _like, _alike):
        if one is not None and other is not None:
            yield from _of_event((*under, "events", one[0]), one[1], other[1])
        elif one is not None:
            place, (event, _) = one
            yield KeyPair(dotted((*under, "events", place)), event.title, None)
        elif other is not None:
            place, (event, _) = other
            yield KeyPair(dotted((*under, "events", place)), None, event.title)


def _of_event(path: Path, one: _Told, other: _Told) -> Iterator[KeyPair]:
    """Yield the keys of an event that differ."""
    for inner, x, y in _differing((), one[1], other[1]):
        if not _same_in(one[0], other[0], inner):
            yield KeyPair(dotted((*path, *inner)), _written(x), _written(y))


def _like(row: _Row) -> Hashable:
    """Return what makes an event the same one in another list: what it is called, and to what."""
    _, (event, _) = row
    return event.do, event.title, getattr(event, "element", None)


def _alike(row: _Row) -> Hashable:
    """Return what makes it the same one where that has changed."""
    _, (event, _) = row
    return event.do, event.title


def _same_in(one: Event, other: Event, path: Path) -> bool:
    """Tell whether two events are read alike at a path of their tables."""
    if len(path) != 1 or not isinstance(path[0], str):
        return False
    found = [getattr(x, path[0], _UNKNOWN) for x in (one, other)]
    return _UNKNOWN not in found and found[0] == found[1]
