"""How a figure beside its limit is written, on a terminal and in tables."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from mplan.checks.limits import LimitRow, tightest
from mplan.scenario.figures import apart
from mplan.show.columns import Column

STRANDED = "stranded propellant"
MOST_STRANDED = 3  # of the tanks with most, in a brief


def used(row: LimitRow) -> str:
    """Return the figure with its unit, told apart from its limit."""
    if row.used is None:
        return "not stated"
    return f"{apart(_limit(row), row.used, row.digits)[1]} {row.unit}".rstrip()


def limit(row: LimitRow) -> str:
    """Return the limit with its unit; a figure without one has a dash."""
    if row.limit is None or row.used is None:
        return "-"
    written = f"{apart(row.limit, row.used, row.digits)[0]} {row.unit}".rstrip()
    return f"{written} at least" if row.least else written


def left(row: LimitRow) -> str:
    """Return what is left: in days, as a share of control authority, else in the row's unit."""
    if row.left is None or row.limit is None:
        return row.note
    if row.days_left is not None:
        return f"{_apart_from_zero(row.days_left)} d"
    if row.kind == "control authority":
        share = 100.0 * (1.0 - row.tightness)
        return f"{share:.0f} %" if isfinite(share) else "none"
    return f"{apart(0.0, row.left, row.digits)[1]} {row.unit}".rstrip()


def _limit(row: LimitRow) -> float:
    return row.limit if row.limit is not None else (row.used or 0.0)


def _apart_from_zero(days: float) -> str:
    return apart(0.0, days)[1]


def brief(found: Sequence[LimitRow]) -> list[LimitRow]:
    """Return the tightest row of each kind, and the most that the mixture ratio leaves."""
    stranded = sorted((x for x in found if x.kind == STRANDED), key=lambda x: -x.tightness)
    return [
        row
        for each in tightest(found)
        for row in (stranded[:MOST_STRANDED] if each.kind == STRANDED else [each])
    ]


COLUMNS = (
    Column("limit of", lambda row: row.kind),
    Column("what", lambda row: row.name),
    Column("used", used),
    Column("limit", limit),
    Column("left", left),
)
