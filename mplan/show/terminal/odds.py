"""Odds on a terminal, never over 100 columns."""

from __future__ import annotations

from collections.abc import Iterator
from typing import IO

from rich.console import Console
from rich.text import Text

from mplan.show.columns import Column
from mplan.show.odds import words
from mplan.show.odds.tables import TOO_FEW, bare, drivers_of, reasons, telling, unit
from mplan.show.terminal.page import cautions, console, titled
from mplan.studies.odds import ENOUGH, Driven, Driver, Odds

FEW = f"Blank: told from {ENOUGH} missions on, if 99 % of them come so far."


def print_odds(odds: Odds, file: IO[str]) -> None:
    """Write how likely things hold to `file`, why not, what to carry and what drives it."""
    out = console(file)
    out.print(Text(words.verdict(odds), style="bold"))
    out.print(titled("Burns: what is left after each [m/s]", _BURNS, odds.burns, out))
    if telling(odds):
        out.print(
            titled(
                "Limits that are near; every mission keeps clear of others",
                _LIMITS,
                telling(odds),
                out,
            )
        )
    _print_reasons(odds, out)
    out.print(titled("Propellant [kg]", _TANKS, odds.tanks, out))
    if any(each.bound is None for each in odds.tanks):
        out.print(Text(FEW))
    _print_drivers(odds, out)
    notes = (words.INTERVAL, words.CARRY, words.DRIVEN, *words.NOT_DRAWN)
    out.print(Text("\n" + "\n".join(notes)))
    out.print(cautions())


def _print_reasons(odds: Odds, out: Console) -> None:
    found = reasons(odds)
    if found:
        out.print(titled("What stops missions", _WHY, found, out))
    else:
        out.print(Text("\nNothing stops any of them."))


def _print_drivers(odds: Odds, out: Console) -> None:
    if not odds.driven:
        out.print(Text(f"\n{TOO_FEW}"))
        return
    out.print(titled("What drives what is left", _DRIVEN, list(_rows(odds.driven)), out))


def _rows(driven: tuple[Driven, ...]) -> Iterator[tuple[str, str, Driver]]:
    """Yield the drivers of each figure, the figure named once."""
    for each in driven:
        fit = f"{each.fit:.2f}{'' if each.linear else ' not linear'}"
        for i, driver in enumerate(drivers_of(each)):
            yield bare(each.figure) if i == 0 else "", fit if i == 0 else "", driver


_BURNS = (
    Column("burn", lambda row: row.name),
    Column("as\nplanned", lambda row: row.left.planned, 1),
    Column("in\nhalf", lambda row: row.left.quantiles[1], 1),
    Column("in\n99 %", lambda row: row.left.quantiles[0], 1),
    Column("has its propellant\n%, 95 % confidence", lambda row: words.share(row.flown)),
    Column("reserve\nm/s", lambda row: row.reserve, 1),
    Column("not used\n%", lambda row: words.percent(row.untouched.share)),
)
_LIMITS = (
    Column("limit of", lambda row: bare(row.left.name)),
    Column("unit", lambda row: unit(row.left.name)),
    Column("left as\nplanned", lambda row: row.left.planned, 2),
    Column("left in\n99 %", lambda row: row.left.quantiles[0], 2),
    Column("holds\n%, 95 % confidence", lambda row: words.share(row.holds)),
)
_WHY = (
    Column("what", lambda row: row[0]),
    Column("missions", lambda row: row[1].count, 0),
    Column("of all\n%, 95 % confidence", lambda row: words.share(row[1])),
)
_TANKS = (
    Column("element", lambda row: row.element),
    Column("tank", lambda row: row.tank),
    Column("load", lambda row: row.load, 0),
    Column("left as\nplanned", lambda row: row.left.planned, 1),
    Column("left in\nhalf", lambda row: row.left.quantiles[1], 1),
    Column("left in 99 %\nat least", lambda row: row.bound, 1),
    Column("to carry\nfor 99 %", lambda row: row.carry, 0),
)
_DRIVEN = (
    Column("figure", lambda row: row[0]),
    Column("R2", lambda row: row[1]),
    Column("what", lambda row: row[2].title),
    Column("by", lambda row: f"{row[2].coefficient:+.2f}"),
    Column("variance\n%", lambda row: 100.0 * row[2].share, 0),
)
