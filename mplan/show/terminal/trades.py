"""A study on a terminal, never over 100 columns."""

from __future__ import annotations

from collections.abc import Callable
from heapq import nsmallest
from typing import IO

from rich.text import Text

from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.terminal.page import cautions, console, titled
from mplan.show.trades import tables, words
from mplan.studies.trades import CaseRow, Trades

MOST = 40  # cases that are printed; files have all
FIGURES = 4  # columns of figures, the objectives first


def print_study(found: Trades, file: IO[str]) -> None:
    """Write what became of a study: counts, the plan as it is, the front or the cases, reasons."""
    out = console(file)
    out.print(Text(words.summary(found), style="bold"))
    out.print(Text(f"as planned: {found.planned.verdict}"))
    best = tables.on_front(found)
    if best:
        title = f"On the front: {words.objectives(found)}"
        out.print(titled(title, _columns(found), best[:MOST], out))
        out.print(Text(_more(len(best), "on the front")), end="")
    elif found.rows:
        flown = (row for row in found.rows if row.outcome.closes is not None)
        shown = nsmallest(MOST, flown, key=lambda row: (not row.outcome.closes, row.number))
        out.print(titled("Cases, those that close first", _columns(found), shown, out))
        count = sum(row.outcome.closes is not None for row in found.rows)
        out.print(Text(_more(count, "flown")), end="")
    for each in words.reasons(found):
        out.print(Text(each))
    out.print(cautions())


def _more(count: int, what: str) -> str:
    more = count - MOST
    return f"{more:,} more {what}: --csv and --parquet have all" if more > 0 else ""


def _columns(found: Trades) -> list[Column]:
    study = found.study
    first = [each.figure for each in study.objectives]
    names = list(dict.fromkeys((*first, *found.told)))[:FIGURES]
    own = [
        Column(_broken(tables.headed(_short(axis.name), axis.unit)), _shown(place))
        for place, axis in enumerate(study.axes)
    ]
    told = [tables.figure(found, name) for name in names]
    return [
        Column("case", lambda row: row.number),
        *own,
        *(each._replace(header=_broken(each.header)) for each in told),
        Column("closes", _closes),
    ]


def _shown(place: int) -> Callable[[CaseRow], str]:
    def of(row: CaseRow) -> str:
        value = row.shown[place]
        return "planned" if value is None else f"{value:,g}" if _number(value) else str(value)

    return of


def _number(value: object) -> bool:
    return isinstance(value, (int, float))


def _closes(row: CaseRow) -> str:
    asked = f", {row.outcome.decisions_open} to decide" if row.outcome.decisions_open else ""
    return f"yes{asked}" if row.outcome.closes else "no"


def _short(key: str) -> str:
    """Return the end of a scenario key, in words: enough beside the file."""
    return plain(" ".join(key.split(".")[-2:]))


def _broken(header: str) -> str:
    """Return a header with its unit on a line of its own."""
    return header.replace(" [", "\n[")
