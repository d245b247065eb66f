"""Values laid over a scenario's tables, and what differs between two sets of tables."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from copy import deepcopy
from typing import Any, NamedTuple, NoReturn, TypeGuard

from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.reading.lines import Path
from mplan.scenario.wording import hint, shown

CHANGED = "changed value"
KEYS = 'keys, with a dot between table and key, and their values, like {"table.key": "190 km"}'


class Change(NamedTuple):
    """A key and its values before and after; None stands for a key that is not there."""

    path: Path
    before: Any
    after: Any

    def __str__(self) -> str:
        """Return `orbits.parking_altitude: "185 km" -> "190 km"`."""
        before, after = (
            "nothing" if value is None else shown(value) for value in (self.before, self.after)
        )
        return f"{dotted(self.path)}: {before} -> {after}"


def dotted(path: Path) -> str:
    """Return a path as people write it."""
    return ".".join(map(str, path))


def asked(key: object, value: object) -> Mapping[str, Any]:
    """Return what `change` is asked for by key: a mapping as it is, or one key with its value."""
    values = key if isinstance(key, Mapping) else {key: value} if isinstance(key, str) else None
    if values is None or not all(isinstance(each, str) for each in values):
        found = next((x for x in values or () if not isinstance(x, str)), key)
        raise ScenarioError([Problem(CHANGED, "", f"found {shown(found)}; accepted: {KEYS}")])
    return values


def put(data: Any, key: str, value: Any) -> tuple[Any, Path]:  # noqa: ANN401  (any TOML value)
    """Return `data` with `value` at a dotted key, and the key's path; `data` stays as it is.

    Only what lies along the path is copied. None takes the key out.
    """
    steps = key.split(".")
    if steps[-1] == "from":
        _refuse(key, "a new file is taken in by editing the scenario file, not by a change")
    path: list[str | int] = []
    return _laid(data, steps, deepcopy(value), path, key), tuple(path)


def differences(before: object, after: object, path: Path = ()) -> Iterator[Change]:
    """Yield every leaf that differs; lists of tables of the same length are compared in depth."""
    if isinstance(before, dict) and isinstance(after, dict):
        for key in dict.fromkeys((*before, *after)):
            yield from differences(before.get(key), after.get(key), (*path, key))
    elif before is None and isinstance(after, dict) and after:
        yield from differences({}, after, path)
    elif _tables(before) and _tables(after) and len(before) == len(after):
        for index, (old, new) in enumerate(zip(before, after, strict=True)):
            yield from differences(old, new, (*path, index))
    elif before != after:
        yield Change(path, before, after)


def digest(data: dict[str, Any]) -> str:
    """Return 12 hexadecimal digits that stand for the tables, whichever files they came from."""
    return hashlib.sha256(
        json.dumps(without_origins(data), sort_keys=True, default=str).encode()
    ).hexdigest()[:12]


def without_origins(data: dict[str, Any]) -> dict[str, Any]:
    """Return the tables without the files that parts of them were taken from."""
    elements = {}
    for name, body in data.get("elements", {}).items():
        engines = body.get("engines", {}).items()
        bare = {"engines": {key: _homeless(each) for key, each in engines}} if engines else {}
        elements[name] = {**_homeless(body), **bare}
    plain = {**data, "elements": elements}
    wind = data.get("climb", {}).get("wind")
    if isinstance(wind, dict):
        plain["climb"] = {**data["climb"], "wind": _homeless(wind)}
    return plain


def _homeless(table: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if key != "from"}


def _laid(node: Any, steps: list[str], value: Any, path: list[str | int], key: str) -> Any:  # noqa: ANN401
    """Return a copy of `node` with `value` at `steps`; note each step taken in `path`."""
    if not steps:
        return value
    step: str | int
    if isinstance(node, list):
        step = _index(node, steps[0], key)
        below = node[step]
    elif isinstance(node, dict):
        step = steps[0]
        below = node.get(step, {})
    else:
        _refuse(key, f"{dotted(tuple(path))} is {shown(node)}, with nothing inside")
    path.append(step)
    copy = node.copy()
    if isinstance(node, dict) and step not in node:
        _refuse_unless_known(path, node, len(steps), key)
    if value is None and len(steps) == 1:
        copy.pop(step, None) if isinstance(copy, dict) else copy.pop(step)
        return copy
    copy[step] = _laid(below, steps[1:], value, path, key)
    return copy


def _refuse_unless_known(path: list[str | int], node: dict, remaining: int, key: str) -> None:
    """Refuse to reach into an element, tank or engine that does not exist."""
    if path[0] == "elements" and len(path) in (2, 4) and remaining > 1:
        _refuse(key, f"nothing is called {shown(path[-1])}; {hint(path[-1], node)}")
    if path == ["events"] and remaining > 1:
        _refuse(key, "the events follow from the profile; write them into the file to change one")


def _index(node: list, step: str, key: str) -> int:
    if not (step.isdigit() and int(step) < len(node)):
        _refuse(key, f"found {step}; accepted: an index from 0 to {len(node) - 1}")
    return int(step)


def _refuse(key: str, text: str) -> NoReturn:
    raise ScenarioError([Problem(CHANGED, key, text)])


def _tables(value: object) -> TypeGuard[list[dict[str, Any]]]:
    return isinstance(value, list) and all(isinstance(each, dict) for each in value)
