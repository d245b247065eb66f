"""What a changed scenario has in common with the one before: those tables are read, and were right.

Tables are never written into (`changes.put` copies what lies along its path), so that what is the
same object, or holds the same objects, says the same. Equal values would not do: 1 and true are.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from mplan.scenario import raw
from mplan.scenario.table import TomlTable

NAMED = ("elements", "ships")  # tables of tables, each read by itself


def touched(data: raw.Data, before: raw.Data) -> set[str]:
    """Return the keys under which the tables are others than before."""
    return {key for key in {*data, *before} if not _same(data.get(key), before.get(key))}


def parts(data: raw.Data, before: raw.Data, keys: set[str]) -> dict[str, Any]:
    """Return what stands under those `keys`: of named tables, those that are others than before."""
    return {
        key: _others(value, before.get(key)) if key in NAMED else value
        for key, value in data.items()
        if key in keys
    }


def with_models(data: raw.Data, before: raw.Data, read: TomlTable) -> dict[str, Any]:
    """Return the tables, each that is as `before` replaced by what was then `read` from it."""
    return {
        key: _models(value, before.get(key), getattr(read, key))
        if key in NAMED and isinstance(value, dict)
        else _model(value, before.get(key), getattr(read, key, None))
        for key, value in data.items()
    }


def _models(tables: raw.Data, before: object, read: Mapping[str, TomlTable]) -> dict[str, Any]:
    then = raw.table(before)
    return {name: _model(x, then.get(name), read.get(name)) for name, x in tables.items()}


def _model(value: object, before: object, read: object) -> object:
    return read if isinstance(read, TomlTable) and _same(value, before) else value


def _others(tables: object, before: object) -> object:
    if not isinstance(tables, dict):
        return tables
    then = raw.table(before)
    return {name: x for name, x in tables.items() if x is not then.get(name)}


def _same(now: object, then: object) -> bool:
    """Tell whether two values are one, or tables of which all values are."""
    if now is then:
        return True
    if not (isinstance(now, dict) and isinstance(then, dict) and now.keys() == then.keys()):
        return False
    return all(value is then[key] for key, value in now.items())
