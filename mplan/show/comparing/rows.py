"""Which rows of a comparison are shown, under which title and columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from mplan.comparing import Comparison, LimitPair
from mplan.show.columns import Column
from mplan.show.comparing import columns

Section = tuple[Sequence[Column], list[Any]]


def sections(comparison: Comparison, *, every: bool) -> dict[str, Section]:
    """Return columns and rows by title, findings apart; with `every` the rows that are the same."""
    found: dict[str, tuple[Sequence[Column], Sequence[Any]]] = {
        "Figures": (columns.FIGURES, comparison.figures),
        "Dates": (columns.DATES, comparison.dates),
        "Burns": (columns.BURNS, comparison.burns),
        "Masses": (columns.MASSES, comparison.masses),
        "Limits": (columns.LIMITS, comparison.limits),
        "Events": (columns.EVENTS, comparison.moments),
    }
    shown: dict[str, Section] = {"Keys": (columns.KEYS, list(comparison.keys))}
    for title, (heads, rows) in found.items():
        shown[title] = heads, [x for x in rows if every or _worth_a_row(x)]
    return shown


def _worth_a_row(pair: Any) -> bool:  # noqa: ANN401 (a pair of any record)
    return columns.limit_reads_otherwise(pair) if isinstance(pair, LimitPair) else pair.differs
