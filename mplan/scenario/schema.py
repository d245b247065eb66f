"""JSON Schemas of the files that people write, for editors that complete and check as one types.

`python -m mplan.scenario.schema` writes them beside this module. They know every key, kind and
pattern; bounds, names that point somewhere and what a profile needs are for `load` to check.
"""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from mplan.scenario.elements import Element
from mplan.scenario.engines import Engine
from mplan.scenario.reading.files import NOT_IN_AN_ENGINE
from mplan.scenario.scenario import Scenario

FOLDER = Path(__file__).parent
_DIALECT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]


def scenario_schema() -> Schema:
    """Return the schema of a scenario file, its `#:schema` line's target."""
    schema = _readable(Scenario.model_json_schema())
    _allow_partial_elements(schema)
    return {"$schema": _DIALECT, "title": "mplan scenario", **schema}


def element_schema() -> Schema:
    """Return the schema of a file that holds one element."""
    schema = _readable(Element.model_json_schema())
    del schema["properties"]["from"]
    _allow_partial_engines(schema)
    return {"$schema": _DIALECT, "title": "mplan element", **schema}


def engine_schema() -> Schema:
    """Return the schema of a file that holds one engine."""
    schema = _readable(Engine.model_json_schema())
    for key in NOT_IN_AN_ENGINE:
        del schema["properties"][key]
    schema["required"] = [key for key in schema["required"] if key not in NOT_IN_AN_ENGINE]
    return {"$schema": _DIALECT, "title": "mplan engine", **schema}


def of_table(model: type[BaseModel], title: str) -> Schema:
    """Return the schema of a file of another kind, made of tables of one model."""
    return {"$schema": _DIALECT, "title": title, **_readable(model.model_json_schema())}


def files() -> dict[Path, str]:
    """Return the schema files of the package and what they should hold."""
    schemas = {
        "scenario": scenario_schema(),
        "element": element_schema(),
        "engine": engine_schema(),
    }
    return {
        FOLDER / f"{name}.schema.json": json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
        for name, schema in schemas.items()
    }


def _readable(node: Any) -> Any:  # noqa: ANN401  (any JSON)
    """Drop what only programs need; say in the description what a value may be."""
    if isinstance(node, list):
        return [_readable(each) for each in node]
    if not isinstance(node, dict):
        return node
    node = _without_null(node)
    described = " ".join(filter(None, (node.get("description"), _accepted(node))))
    kept = {
        key: _property_map(each) if key in ("properties", "$defs") else _readable(each)
        for key, each in node.items()
        if key not in ("title", "accepted", "description", "default")
    }
    return {"description": described, **kept} if described else kept


def _property_map(named: Schema) -> Schema:
    """Make the schema of each name readable; a property may itself be called "title"."""
    return {name: _readable(each) for name, each in named.items()}


def _without_null(node: Schema) -> Schema:
    """Replace "this or null" by "this": TOML has no null, a key is omitted instead."""
    options = [each for each in node.get("anyOf", ()) if each != {"type": "null"}]
    if len(options) != 1:
        return node
    rest = {key: value for key, value in node.items() if key != "anyOf"}
    return {**options[0], **rest}


def _accepted(node: Schema) -> str | None:
    words = node.get("accepted")
    return f"{words[0].upper()}{words[1:]}." if words else None


def _allow_partial_elements(schema: Schema) -> None:
    """Let an element with `from` state only what it overrides."""
    for name in ("Element", *Element.model_json_schema()["$defs"]):
        _add_partial(schema, name)
    _partial_with_from(schema["properties"]["elements"], "Element")
    _partial_with_from(schema["$defs"]["Element"]["properties"]["engines"], "Engine")


def _allow_partial_engines(schema: Schema) -> None:
    """Let an engine with `from` state only what it overrides."""
    _add_partial(schema, "Engine")
    _partial_with_from(schema["properties"]["engines"], "Engine")


def _add_partial(schema: Schema, name: str) -> None:
    """Define a table of which nothing is required."""
    partial = _with_partial_references(deepcopy(schema["$defs"][name]))
    partial.pop("required", None)
    schema["$defs"][f"Partial{name}"] = partial


def _partial_with_from(named: Schema, kind: str) -> None:
    for pattern in named["patternProperties"]:
        named["patternProperties"][pattern] = {
            "if": {"required": ["from"]},
            "then": {"$ref": f"#/$defs/Partial{kind}"},
            "else": {"$ref": f"#/$defs/{kind}"},
        }


def _with_partial_references(node: Any) -> Any:  # noqa: ANN401  (any JSON)
    if isinstance(node, list):
        return [_with_partial_references(each) for each in node]
    if not isinstance(node, dict):
        return node
    return {
        key: value.replace("#/$defs/", "#/$defs/Partial")
        if key == "$ref"
        else _with_partial_references(value)
        for key, value in node.items()
    }


def main() -> None:
    """Write the schema files of the package."""
    for path, text in files().items():
        path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
