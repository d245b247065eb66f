"""How values and choices are put into a message."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from difflib import get_close_matches
from math import degrees, isfinite


def shown(value: object) -> str:
    """Return a value from a file as a reader of the file knows it."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, (list, tuple)):
        return "a list" if value else "an empty list"
    if isinstance(value, date):  # a datetime is one too
        return value.isoformat()
    if isinstance(value, float) and not isfinite(value):
        return str(value)
    return json.dumps(value, ensure_ascii=False, default=str)


def choices(names: Iterable[str]) -> str:
    """Return names quoted and separated by commas."""
    return ", ".join(f'"{name}"' for name in names)


def nearest(name: object, known: Iterable[str]) -> str | None:
    """Return the known name that looks most like `name`, or None if none does."""
    folded = {each.lower(): each for each in known}
    close = get_close_matches(str(name).lower(), folded, n=1, cutoff=0.6)
    return folded[close[0]] if close else None


def hint(name: object, known: Iterable[str]) -> str:
    """Return `did you mean "x"?`, or the list of what is known."""
    known = list(known)
    close = nearest(name, known)
    if close is not None:
        return f'did you mean "{close}"?'
    return f"known: {choices(known)}" if known else "there is none"


def plain(key: str) -> str:
    """Return a scenario key as people say it: `crew_module` is "crew module"."""
    return key.replace("_", " ")


def verb(label: str, one: str, many: str) -> str:
    """Return the form that goes with a label: a core stage `comes` down, crew boosters `come`.

    A label in s is one of many, but for ss, us and is: a truss, a bus and a chassis are one.
    """
    return many if label.endswith("s") and not label.endswith(("ss", "us", "is")) else one


def place(latitude: float, longitude: float, digits: int = 1) -> str:
    """Return a place [rad, east positive] as people write it: "17.0 S 157.2 E", in degrees.

    One of the `digits` behind the point is 11 km on Earth and 3 km on the Moon.
    """
    north, east = degrees(latitude), (degrees(longitude) + 180.0) % 360.0 - 180.0
    first = f"{abs(north):.{digits}f} {'N' if north >= 0.0 else 'S'}"
    return f"{first} {abs(east):.{digits}f} {'E' if east >= 0.0 else 'W'}"
