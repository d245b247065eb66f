"""Ranges as people write them behind a key, `40 t..70 t`, read into SI with their unit."""

from __future__ import annotations

import re
from typing import NoReturn

from mplan.scenario import Problem, ScenarioError
from mplan.scenario.quantities import Unreadable, parse
from mplan.scenario.wording import shown

_RANGE = re.compile(r"\s*(.+?)\s*\.\.\s*(.+?)\s*$")


def refuse(key: str, said: str) -> NoReturn:
    """Raise ScenarioError for something that is freed."""
    raise ScenarioError([Problem("freed key", key, said)])


def ends(key: str, span: str) -> tuple[str, str]:
    """Return the two ends of a range as they are written; refuse what is none."""
    match = _RANGE.match(span)
    if match is None:
        said = f"found {shown(span)}" if span else "no range is given"
        refuse(key, f"{said}; accepted: LOW..HIGH, with units, like 40 t..70 t")
    return match[1], match[2]


def quantities(key: str, span: str, si: str, kind: str) -> tuple[float, float, str]:
    """Return the ends of a range in SI, and the unit that its upper end is written in.

    The lower end may leave the unit to the upper one.
    """
    first, last = ends(key, span)
    unit = unit_of(last)
    if not unit_of(first):
        first = f"{first} {unit}"
    try:
        low, high = parse(first, si), parse(last, si)
    except Unreadable as problem:
        refuse(key, f"found {shown(span)}{problem}; accepted: {kind} with its unit at either end")
    refuse_unless_rising(key, span, low, high)
    return low, high, unit


def refuse_unless_rising(key: str, span: str, low: float, high: float) -> None:
    """Refuse a range whose ends are equal or the other way round."""
    if not low < high:
        refuse(key, f"found {shown(span)}; accepted: a lower end below the upper one")


def unit_of(quantity: str) -> str:
    """Return the unit of a quantity as it is written; "" for a bare number."""
    return re.sub(r"^\s*[-+]?[\d.]+(?:[eE][-+]?\d+)?\s*", "", quantity).strip()


def wholes(key: str, span: str) -> tuple[int, int]:
    """Return the ends of a range of whole numbers."""
    first, last = ends(key, span)
    if not (first.isdigit() and last.isdigit()):
        refuse(key, f"found {shown(span)}; accepted: whole numbers, like 1..4")
    low, high = int(first), int(last)
    if low > high:
        refuse(key, f"found {shown(span)}; accepted: a lower end not above the upper one")
    return low, high


def reads(quantity: str, si: str) -> bool:
    """Tell whether a text is a quantity of the dimension of an SI unit."""
    try:
        parse(quantity, si)
    except Unreadable:
        return False
    return True
