"""A scenario's tables before anything is known to be right with them.

The cross-checks run on these together with the field checks, so that a planner sees all
problems at once; each accessor gives an empty answer where the file has something else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Data = Mapping[str, Any]


def table(data: object, *path: str) -> dict[str, Any]:
    """Return the table at a path, or an empty one."""
    for step in path:
        data = data.get(step) if isinstance(data, dict) else None
    return data if isinstance(data, dict) else {}


def value(data: object, dotted: str) -> object:
    """Return the value at a dotted path, or None."""
    *path, key = dotted.split(".")
    return table(data, *path).get(key)


def text(data: object, dotted: str) -> str | None:
    """Return the text at a dotted path, or None."""
    found = value(data, dotted)
    return found if isinstance(found, str) else None


def texts(listed: object) -> list[str]:
    """Return the texts of a list, or none."""
    return [each for each in listed if isinstance(each, str)] if isinstance(listed, list) else []


def elements(data: object) -> dict[str, dict[str, Any]]:
    """Return the elements that are tables, by name."""
    found = table(data, "elements")
    return {name: body for name, body in found.items() if isinstance(body, dict)}


def stack(data: Data) -> list[str]:
    """Return the stack's element names, from the pad up."""
    return texts(data.get("stack"))


def met(data: Data) -> list[str]:
    """Return the elements of ships that are launched on their own, and may be met."""
    ships = table(data, "ships").values()
    return [name for ship in ships if isinstance(ship, dict) for name in stack(ship)]


def events(data: Data) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield the events that are tables, each with its index."""
    listed = data.get("events")
    for index, event in enumerate(listed if isinstance(listed, list) else []):
        if isinstance(event, dict):
            yield index, event


def named_in(event: Data) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield every element that an event names, with the path of the name inside the event."""
    for key in ("element", "origin", "target", "control"):
        if isinstance(event.get(key), str):
            yield (key,), event[key]
    for key in ("elements", "beside"):
        for index, name in enumerate(texts(event.get(key))):
            yield (key, index), name


def with_role(data: Data, role: str) -> list[str]:
    """Return the elements of the stack that have a role, from the pad up."""
    return _of_role(data, stack(data), role)


def anywhere_with_role(data: Data, role: str) -> list[str]:
    """Return the elements that have a role: those of the stack, else those of ships to be met."""
    return with_role(data, role) or _of_role(data, met(data), role)


def _of_role(data: Data, names: list[str], role: str) -> list[str]:
    bodies = elements(data)
    return [name for name in names if table(bodies, name).get("role") == role]
