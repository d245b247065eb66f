"""Events as the text of a scenario file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any


def as_toml(events: Iterable[Mapping[str, Any]]) -> str:
    """Return events as the `[[events]]` tables of a scenario file."""
    import tomlkit  # only for those who write files

    tables = []
    for event in events:
        lines = [f"{key} = {tomlkit.item(value).as_string()}" for key, value in event.items()]
        tables.append("\n".join(["[[events]]", *lines, ""]))
    return "\n".join(tables)
