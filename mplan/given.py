"""What people type behind a command: files, or names of the kit's; values as TOML has them."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from mplan import shipped
from mplan.scenario import Problem, Scenario, ScenarioError, load

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

OPENS = ('"', "'", "[", "{")  # what a text without quotes does not begin with


def scenario(name: str, changes: list[str]) -> Scenario:
    """Return the scenario of a file, or of a mission that comes with the kit, with KEY=VALUEs."""
    read = load(file(name))
    given = dict(change(text) for text in changes)
    return read.change(given) if given else read


def file(name: str) -> str:
    """Return the scenario file that is meant: one that is there, else the kit's of that name."""
    return _file(name, shipped.missions(), "missions")


def programme_file(name: str) -> str:
    """Return the programme file that is meant: one that is there, else the kit's of that name."""
    return _file(name, shipped.programmes(), "programmes")


def study_file(name: str) -> str:
    """Return the study file that is meant: one that is there, else the kit's of that name."""
    return _file(name, shipped.studies(), "studies")


def _file(name: str, known: Mapping[str, Path], kind: str) -> str:
    if os.path.exists(name):
        return name
    if name in known:
        return str(known[name])
    text = f"no such file; {kind} that come with the kit, to be given by name: "
    raise ScenarioError([Problem(name, "", text + (", ".join(known) or "none"))])


def change(text: str) -> tuple[str, Any]:
    """Return key and value of KEY=VALUE; None, which takes the key out, where VALUE is empty."""
    key, equals, value = (part.strip() for part in text.partition("="))
    if not (equals and key):
        _refuse(text, "accepted: KEY=VALUE, or KEY= to take the key out")
    return key, _value(text, value) if value else None


def _value(text: str, value: str) -> Any:  # noqa: ANN401 (any TOML value)
    """Return a TOML value; what is none, such as 190 km, is text without its quotes."""
    try:
        read = tomllib.loads(f"value = {value}")
    except (ValueError, RecursionError) as problem:
        if value.startswith(OPENS) or not value.isprintable():
            _refuse(text, f"not a TOML value: {problem}")
        return value
    if set(read) != {"value"}:
        _refuse(text, "more than one value")
    return read["value"]


def _refuse(found: str, text: str) -> None:
    raise ScenarioError([Problem("--with", repr(found), text)])
