"""A table's columns: what stands under each header, and how it is written."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from mplan.flight.record import BurnRecord
from mplan.physics.bodies.daylight import Light
from mplan.physics.constants import DAY, DEG, HOUR, MINUTE


class Column(NamedTuple):
    """A header with its unit, what stands under it, and its decimals (None for text)."""

    header: str
    value: Callable[[Any], Any]
    digits: int | None = None


def clock(seconds: float) -> str:
    """Return a time since lift-off as days and hours:minutes:seconds, like `4 d 04:36:12`."""
    sign, whole = ("-", -round(seconds)) if seconds < 0.0 else ("", round(seconds))
    days, rest = divmod(whole, int(DAY))
    hours, rest = divmod(rest, int(HOUR))
    minutes, left = divmod(rest, int(MINUTE))
    day = f"{days} d " if days else ""
    return f"{sign}{day}{hours:02d}:{minutes:02d}:{left:02d}"


def minutes(seconds: float) -> str:
    """Return a short time as minutes:seconds, like `8:43`."""
    whole, left = divmod(round(seconds), int(MINUTE))
    return f"{whole}:{left:02d}"


def started(burn: BurnRecord) -> str:
    """Return which start of its engine a burn is, of those it is qualified for, like `2 of 3`."""
    if not burn.lit:
        return "not lit"
    element = burn.at_ignition.scenario.elements[burn.element]
    return f"{burn.start} of {element.engines[burn.engine].starts}"


def lit(there: Light) -> str:
    """Return the light at a place in words, with the Sun's elevation and the solar time."""
    hours, minute = divmod(int(there.solar_time / MINUTE), 60)
    return f"{there.word}, Sun at {there.sun / DEG:.0f} deg, {hours:02d}:{minute:02d} solar time"


def cell(column: Column, row: Any) -> Any:  # noqa: ANN401 (a table holds anything)
    """Return what stands in a row under a column: a number rounded, or anything else as it is."""
    value = column.value(row)
    if value is None or column.digits is None:
        return value
    return round(float(value), column.digits) + 0.0  # no minus zero


def text(value: Any, digits: int | None) -> str:  # noqa: ANN401
    """Return a cell as people read it, a blank for what is not known."""
    if value is None or value != value:
        return ""
    return str(value) if digits is None else f"{value:,.{digits}f}"
