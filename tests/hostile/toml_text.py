"""Tables written as TOML, one dotted key a line, with pieces of text that no writer would make."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, time
from math import isfinite


class Literal(str):
    """Text that goes into the file as it is."""


def written(tables: dict) -> str:
    """Return the tables as TOML."""
    return "".join(f"{key} = {_value(value)}\n" for key, value in _leaves(tables))


def _leaves(table: dict, before: str = "") -> Iterator[tuple[str, object]]:
    for key, value in table.items():
        dotted = before + (key if isinstance(key, Literal) else _quoted(str(key)))
        if isinstance(value, dict) and value:
            yield from _leaves(value, f"{dotted}.")
        else:
            yield dotted, value


def _value(value: object) -> str:
    if isinstance(value, Literal):
        return str(value)
    if isinstance(value, dict):
        pairs = (f"{_quoted(str(key))} = {_value(each)}" for key, each in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, float) and not isfinite(value):
        return str(value)
    return _quoted(value) if isinstance(value, str) else json.dumps(value)


def _quoted(text: str) -> str:
    return json.dumps(text).replace("\x7f", "\\u007F")
