"""Pydantic's findings put into a planner's words."""

from __future__ import annotations

import types
from collections.abc import Iterable
from dataclasses import replace
from typing import Annotated, Any, Literal, NamedTuple, TypeGuard, Union, get_args, get_origin

from annotated_types import Ge, Gt, Le, MaxLen
from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from mplan.scenario.dates import DateOrTime
from mplan.scenario.events import EVENT_BY_KIND
from mplan.scenario.quantities import Quantity
from mplan.scenario.reading.lines import Path
from mplan.scenario.wording import choices, hint, nearest, shown


class KeyProblem(NamedTuple):
    """A problem before its place is known: the path of the key, and what is wrong."""

    path: Path
    text: str


class _Slot(NamedTuple):
    """What a model expects at one place: a type, what narrows it, and examples."""

    kind: Any
    limits: tuple[Any, ...] = ()
    examples: tuple[Any, ...] = ()


def findings(
    error: ValidationError, model: type[BaseModel], missing: set[Path]
) -> list[KeyProblem]:
    """Return what is wrong with the data of `model`.

    `missing` holds paths that something else than the model misses. A key that is unknown while
    the one it was meant to be is missing counts as one problem.
    """
    details = error.errors(include_url=False)
    missing = missing | {_path(each) for each in details if each["type"] == "missing"}
    meant = {
        path: _meant(path, missing)
        for path in (_path(each) for each in details if each["type"] == "extra_forbidden")
    }
    told = set(meant.values())
    return [
        KeyProblem(path, text)
        for path, text in (_told(each, model, meant) for each in details)
        if path not in told
    ]


def misspelt(found: Iterable[KeyProblem], missing: set[Path]) -> set[Path]:
    """Return those `missing` paths that an unknown key among `found` was meant to be."""
    unknown = (each.path for each in found if each.text.startswith("unknown key"))
    meant = (_meant(path, missing) for path in unknown)
    return {path for path in meant if path is not None}


def missing_text(model: type[BaseModel], path: Path) -> str:
    """Return the words for a key that should be there, with a line that could be written."""
    slot = _slot(model, path)
    if _is_table(slot.kind):
        return f"missing; write the table [{'.'.join(map(str, path))}]"
    return f"missing; write for example: {path[-1]} = {_example(slot)}"


def unknown_key(model: type[BaseModel], path: Path) -> KeyProblem | None:
    """Return that a key is unknown, or something on the way to it; None for one that is known.

    What an event may have its kind decides: nothing is said of it.
    """
    slot = _Slot(model)
    for i, step in enumerate(path):
        if _is_model(slot.kind) and step not in _fields(slot.kind):
            return KeyProblem(path[: i + 1], _unknown_key(path[: i + 1], model, None))
        if not _is_model(slot.kind) and get_origin(slot.kind) not in (dict, tuple):
            return None
        slot = _inside(slot, step)
    return None


def _told(each: ErrorDetails, model: type[BaseModel], meant: dict[Path, Path | None]) -> KeyProblem:
    loc, value, path = each["loc"], each["input"], _path(each)
    match each["type"]:
        case "missing":
            return KeyProblem(path, missing_text(model, loc))
        case "extra_forbidden":
            return KeyProblem(path, _unknown_key(loc, model, meant[path]))
        case "quantity" | "date" | "time":
            return KeyProblem(path, each["msg"])
        case "union_tag_not_found":
            return KeyProblem((*path, "do"), 'missing; write for example: do = "coast"')
        case "union_tag_invalid":
            return KeyProblem(
                (*path, "do"), f"unknown {shown(value['do'])}; {_events(value['do'])}"
            )
    if loc[-1] == "[key]":
        return KeyProblem(path, f"unknown name; {_name_hint(model, loc)}")
    return KeyProblem(path, _not_accepted(value, _slot(model, loc)))


def _events(kind: object) -> str:
    return hint(kind, EVENT_BY_KIND)


def _name_hint(model: type[BaseModel], loc: Path) -> str:
    """Say which names a table's keys may have."""
    names = _unwrapped(get_args(_slot(model, loc[:-2]).kind)[0])
    return (
        hint(loc[-2], get_args(names.kind)) if _is_choice(names) else f"accepted: {_words(names)}"
    )


def _not_accepted(value: object, slot: _Slot) -> str:
    if _is_choice(slot) and isinstance(value, str):
        return f"unknown {shown(value)}; {hint(value, get_args(slot.kind))}"
    return f"found {shown(value)}; accepted: {_words(slot)}"


def _unknown_key(loc: Path, model: type[BaseModel], meant: Path | None) -> str:
    if meant:
        return f'unknown key; did you mean "{meant[-1]}", which is missing?'
    return f"unknown key; {hint(loc[-1], _keys(_slot(model, loc[:-1]).kind))}"


def _meant(path: Path, missing: set[Path]) -> Path | None:
    """Return the missing key beside an unknown one that it resembles."""
    siblings = {str(each[-1]): each for each in missing if each[:-1] == path[:-1]}
    found = nearest(path[-1], siblings)
    return None if found is None else siblings[found]


def _path(each: ErrorDetails) -> Path:
    """Drop what pydantic adds to a path: the kind of an event, the mark of a table's key."""
    loc = each["loc"]
    if loc[-1] == "[key]" and each["type"] not in ("extra_forbidden", "missing"):
        loc = loc[:-1]  # those two speak of a key that is called so
    if loc[0] == "events" and len(loc) > 2 and loc[2] in EVENT_BY_KIND:
        loc = loc[:2] + loc[3:]
    return loc


def _words(slot: _Slot) -> str:
    """Say what is accepted."""
    if quantity := _quantity(slot):
        return quantity.accepted
    if _is_choice(slot):
        return choices(get_args(slot.kind))
    if _is_table(slot.kind) or get_origin(slot.kind) is Union or _is_union(slot.kind):
        return "a table"
    if get_origin(slot.kind) is tuple:
        return "a list with at least one entry" + "".join(_bound(limit) for limit in slot.limits)
    plain = {
        int: "a whole number",
        float: "a number without a unit",
        bool: "true or false",
        str: "a text in quotes",
    }[slot.kind]
    if any(getattr(limit, "pattern", None) for limit in slot.limits):
        longest = next((x.max_length for x in slot.limits if isinstance(x, MaxLen)), None)
        if longest is not None:
            return f"a text in quotes, one line of at most {longest} characters"
        plain = "a name that begins with a letter, of letters, digits, _ and -"
    return plain + "".join(_bound(limit) for limit in slot.limits)


def _bound(limit: object) -> str:
    match limit:
        case Ge():
            return f", at least {limit.ge}"
        case Gt():
            return f", above {limit.gt}"
        case Le():
            return f", at most {limit.le:,.0f}"
        case MaxLen():
            return f", at most {limit.max_length}"
    return ""


def _example(slot: _Slot) -> str:
    """Return a value that would be accepted, as TOML."""
    if slot.examples:
        return shown(slot.examples[0])
    if quantity := _quantity(slot):
        return shown(quantity.sample)
    if _is_choice(slot):
        return shown(get_args(slot.kind)[0])
    return shown({int: 1, float: 1.0, bool: True, str: "name"}.get(slot.kind, []))


def _quantity(slot: _Slot) -> Quantity | DateOrTime | None:
    found = next((each for each in slot.limits if isinstance(each, (Quantity, DateOrTime))), None)
    if slot.examples and isinstance(found, Quantity):
        return replace(found, example=slot.examples[0])
    return found


def _slot(model: type[BaseModel], loc: Path) -> _Slot:
    """Return what `model` expects at a pydantic location."""
    slot = _Slot(model)
    for step in loc:
        slot = _inside(slot, step)
    return slot


def _inside(slot: _Slot, step: str | int) -> _Slot:
    if _is_model(slot.kind):
        return _of_field(_fields(slot.kind)[str(step)])
    if get_origin(slot.kind) is dict:
        return _unwrapped(get_args(slot.kind)[1])
    if get_origin(slot.kind) is tuple:
        return _unwrapped(get_args(slot.kind)[0])
    return _Slot(EVENT_BY_KIND[str(step)])


def _of_field(info: FieldInfo) -> _Slot:
    inner = _unwrapped(info.annotation)
    examples = tuple(info.examples or ()) or inner.examples
    return _Slot(inner.kind, (*inner.limits, *info.metadata), examples)


def _unwrapped(annotation: Any) -> _Slot:  # noqa: ANN401  (any type form)
    """Take a type out of `Annotated` and `| None`, keeping what narrows it."""
    if get_origin(annotation) is Annotated:
        inner, *limits = get_args(annotation)
        flat = [part for each in limits for part in getattr(each, "metadata", None) or [each]]
        below = _unwrapped(inner)
        return _Slot(below.kind, (*below.limits, *flat), below.examples)
    if _is_union(annotation) and type(None) in get_args(annotation):
        return _unwrapped(next(each for each in get_args(annotation) if each is not type(None)))
    return _Slot(annotation)


def _fields(kind: type[BaseModel]) -> dict[str, FieldInfo]:
    return {info.alias or name: info for name, info in kind.model_fields.items()}


def _keys(kind: object) -> list[str]:
    return list(_fields(kind)) if _is_model(kind) else []


def _is_model(kind: object) -> TypeGuard[type[BaseModel]]:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _is_table(kind: object) -> bool:
    return _is_model(kind) or get_origin(kind) is dict


def _is_choice(slot: _Slot) -> bool:
    return get_origin(slot.kind) is Literal


def _is_union(kind: object) -> bool:
    return get_origin(kind) in (Union, types.UnionType)
