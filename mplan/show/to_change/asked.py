"""What the cells of workbook 09 are given: read, or refused with what is accepted."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from numbers import Integral

from mplan.scenario.arguments import ArgumentError, choice
from mplan.scenario.wording import shown

FREE = 'a list of keys with their ranges, like ["elements.X.load=40 t..70 t"]'
TRADE = 'lists of values by key, like {"dates.translunar_time": ["72 h", "76 h"]}'


def whole(name: str, value: object, most: int | None = None) -> int:
    """Return a whole number from 1 to `most`; ArgumentError for anything else."""
    accepted = "a whole number, at least 1" if most is None else f"from 1 to {most:,}"
    if isinstance(value, bool) or not isinstance(value, Integral):
        raise ArgumentError(name, shown(value), accepted)
    count = int(value)
    if count < 1 or (most is not None and count > most):
        raise ArgumentError(name, f"{count:,}", accepted)
    return count


def texts(name: str, value: object, accepted: str = FREE) -> list[str]:
    """Return a list of texts; ArgumentError for one text, or anything else."""
    if not isinstance(value, (list, tuple)):
        raise ArgumentError(name, shown(value), accepted)
    for each in value:
        if not isinstance(each, str):
            raise ArgumentError(name, shown(each), accepted)
    return list(value)


def lists(name: str, value: object, accepted: str = TRADE) -> dict[str, list[object]]:
    """Return lists of values by key; ArgumentError for a single value, or anything else."""
    if not isinstance(value, Mapping):
        raise ArgumentError(name, shown(value), accepted)
    for key, each in value.items():
        if not isinstance(key, str):
            raise ArgumentError(name, shown(key), accepted)
        if not isinstance(each, (list, tuple)):
            raise ArgumentError(name, f"{shown(each)} for {key}", accepted)
    return {key: list(each) for key, each in value.items()}


def burn(name: str, value: object, known: Collection[str]) -> str:
    """Return a burn by its name; "" for none, which stands for the tightest."""
    return choice(name, value, known) if value else ""
