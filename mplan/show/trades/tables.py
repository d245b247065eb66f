"""The cases of a study in tables: what each has, whether it closes, its figures."""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice
from typing import Any

import pandas as pd

from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed
from mplan.studies.trades import CaseRow, Trades
from mplan.studies.trades.figures import DECISIONS

NONE = "No case has its answer yet."
NONE_BEST = "No case that closes has every figure that the objectives ask for."


def cases(found: Trades, most: int | None = None) -> Table:
    """Return the cases that have their answer, in the study's order: all, or the first so many."""
    return Table(framed(columns(found), islice(found.rows, most)), NONE)


def best(found: Trades) -> Table:
    """Return the cases on the front, by the first objective."""
    return Table(framed(columns(found), on_front(found)), NONE_BEST)


def frame(found: Trades) -> pd.DataFrame:
    """Return every case with figures as they were flown, not rounded, for files."""
    whole = [x._replace(digits=None) for x in columns(found)]
    return pd.DataFrame(
        [[each.value(row) for each in whole] for row in found.rows],
        columns=[each.header for each in whole],
        dtype=object,  # numbers stay what they are beside blanks
    )


def on_front(found: Trades) -> list[CaseRow]:
    """Return the cases on the front, the best by the first objective first."""
    rows = [row for row in found.rows if row.number in found.front] if found.front else []
    if not rows:
        return []
    first = found.study.objectives[0]
    return sorted(
        rows,
        key=lambda row: row.outcome.figures[first.figure].value,
        reverse=first.best == "most",
    )


def columns(found: Trades) -> list[Column]:
    """Return the columns of a study: its axes, the verdict, the figures that it tells."""
    study, there = found.study, found.front
    own = [_axis(found, place) for place in range(len(study.axes))]
    told = [figure(found, name) for name in found.told if name != DECISIONS]
    marks = [Column("on the front", lambda row: row.number in there)] if study.objectives else []
    return [
        Column("case", lambda row: row.number),
        *own,
        Column("climb", lambda row: study.climb),
        Column("closes", lambda row: row.outcome.closes),
        Column(DECISIONS, _decisions),
        *told,
        *marks,
        Column("outcome", lambda row: row.outcome.words),
    ]


def figure(found: Trades, name: str) -> Column:
    """Return the column of one figure, with its unit."""
    known = next((x.outcome.figures[name] for x in found.rows if name in x.outcome.figures), None)
    header = headed(name, known.unit) if known else name
    return Column(header, _value(name), known.digits if known else None)


def headed(name: str, unit: str) -> str:
    """Return a header with its unit, like `margin [m/s]`."""
    return f"{name} [{unit}]" if unit else name


def _axis(found: Trades, place: int) -> Column:
    axis = found.study.axes[place]
    return Column(headed(axis.name, axis.unit), lambda row: row.shown[place])


def _value(name: str) -> Callable[[CaseRow], Any]:
    def of(row: CaseRow) -> float | None:
        there = row.outcome.figures.get(name)
        return None if there is None else there.value

    return of


def _decisions(row: CaseRow) -> int | None:
    return None if row.outcome.closes is None else row.outcome.decisions_open
