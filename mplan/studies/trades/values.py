"""The values of a range: quantities with their unit, plain numbers, or days."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import floor
from typing import Any, NamedTuple

from mplan.physics.constants import DAY
from mplan.scenario import quantities
from mplan.scenario.quantities import Unreadable
from mplan.scenario.wording import shown
from mplan.studies.trades.study import MOST

WHOLE = 1e-9  # of a step, by which a range may miss its last value


class Refused(ValueError):
    """A range that is none: `key` says where it is wrong, str() how."""

    def __init__(self, key: str, text: str) -> None:
        """Keep both."""
        super().__init__(text)
        self.key = key


class Value(NamedTuple):
    """A value as tables show it, and as the scenario has it."""

    shown: float | str
    given: Any


def listed(values: tuple[Any, ...]) -> tuple[str, list[Value]]:
    """Return the unit of some values, "" for none, and the values; `Refused` where units differ."""
    unit = _unit(values[0])
    if unit:
        return unit, [Value(_in(unit, x, f"values.{i}"), x) for i, x in enumerate(values)]
    plain = all(isinstance(x, (int, float)) and not isinstance(x, bool) for x in values)
    return "", [Value(x if plain else _word(x), x) for x in values]


def ranged(first: Any, last: Any, step: Any, count: int | None) -> tuple[str, list[Value]]:  # noqa: ANN401
    """Return the unit and the values from first to last; `Refused` where they make no range."""
    if isinstance(first, date):
        return "", _days(first, last, step, count)
    unit = _unit(first)
    start, end = _in(unit, first, "from"), _in(unit, last, "to")
    apart = _apart(start, end, None if step is None else _in(unit, step, "step"), count)
    numbers = [start + i * apart.each for i in range(apart.number)]
    if unit:
        return unit, [Value(float(f"{x:.12g}"), f"{x:.12g} {unit}") for x in numbers]
    whole = all(isinstance(x, int) for x in (first, last, first if step is None else step))
    whole = whole and all(abs(x - round(x)) < WHOLE for x in numbers)
    tidy = [round(x) if whole else float(f"{x:.12g}") for x in numbers]
    return "", [Value(x, x) for x in tidy]


class _Steps(NamedTuple):
    number: int
    each: float


def _apart(start: float, end: float, step: float | None, count: int | None) -> _Steps:
    """Return how many values there are and how far apart they lie."""
    if count is not None:
        _refuse_count(count)
        return _Steps(count, (end - start) / (count - 1) if count > 1 else 0.0)
    if step is None:
        raise Refused("step", 'is missing; accepted: a step like "5 km", or `count`')
    if step == 0.0:
        raise Refused("step", "found zero; accepted: a step from one value to the next")
    if (end - start) * step < 0.0:
        way = "below" if end < start else "above"
        raise Refused("step", f"found {step:g}, away from `to`; accepted: a step {way} zero")
    number = floor((end - start) / step + WHOLE) + 1
    _refuse_count(number, "step")
    return _Steps(number, step)


def _refuse_count(count: int, key: str = "count") -> None:
    if not 1 <= count <= MOST:
        raise Refused(key, f"{count:,} values; accepted: from 1 to {MOST:,}")


def _days(first: date, last: Any, step: Any, count: int | None) -> list[Value]:  # noqa: ANN401
    if type(last) is not type(first):
        raise Refused("to", f"found {shown(last)}; accepted: a day, as `from` is one")
    each = None if step is None else _in("d", step, "step")
    if each is not None and each % 1.0 and not isinstance(first, datetime):
        raise Refused("step", f"found {shown(step)}; accepted: whole days")
    steps = _apart(0.0, (last - first).total_seconds() / DAY, each, count)
    days = [first + timedelta(days=i * steps.each) for i in range(steps.number)]
    return [Value(x.isoformat(), x) for x in days]


def _unit(value: Any) -> str:  # noqa: ANN401
    """Return the unit of a quantity; "" for what is none."""
    return quantities.unit_of(value) if isinstance(value, str) else ""


def _in(unit: str, value: Any, key: str) -> float:  # noqa: ANN401
    """Return a value as a number in `unit`, that of the first one."""
    if not unit:
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            return value
        raise Refused(key, f"found {shown(value)}; accepted: a number, as the first value is one")
    try:
        if not isinstance(value, str):
            raise Unreadable(", without a unit")
        return quantities.number_in(value, unit)
    except Unreadable as problem:
        text = f"found {shown(value)}{problem}; accepted: a quantity like the first one, in {unit}"
        raise Refused(key, text) from None


def _word(value: Any) -> str:  # noqa: ANN401
    return value if isinstance(value, str) else shown(value)
