"""Odds on a terminal, never over 100 columns."""

from __future__ import annotations

from collections.abc import Iterator
from typing import IO

from rich.console import Console
from rich.text import Text

from mplan.show.odds import columns, words
from mplan.show.odds.columns import bare
from mplan.show.odds.tables import TOO_FEW, drivers_of, reasons, telling
from mplan.show.terminal.page import cautions, console, titled
from mplan.studies.odds import ENOUGH, Driven, Driver, Odds

FEW = f"Blank: told from {ENOUGH} missions on, if 99 % of them come so far."


def print_odds(odds: Odds, file: IO[str]) -> None:
    """Write how likely things hold to `file`, why not, what to carry and what drives it."""
    out = console(file)
    out.print(Text(words.verdict(odds), style="bold"))
    out.print(titled("Burns: what is left after each [m/s]", columns.NARROW_BURNS, odds.burns, out))
    if telling(odds):
        out.print(
            titled(
                "Limits that are near; every mission keeps clear of others",
                columns.NARROW_LIMITS,
                telling(odds),
                out,
            )
        )
    _print_reasons(odds, out)
    out.print(titled("Propellant [kg]", columns.NARROW_TANKS, odds.tanks, out))
    if any(each.bound is None for each in odds.tanks):
        out.print(Text(FEW))
    _print_drivers(odds, out)
    notes = (words.INTERVAL, words.CARRY, words.DRIVEN, *words.NOT_DRAWN)
    out.print(Text("\n" + "\n".join(notes)))
    out.print(cautions())


def _print_reasons(odds: Odds, out: Console) -> None:
    found = reasons(odds)
    if found:
        out.print(titled("What stops missions", columns.NARROW_WHY, found, out))
    else:
        out.print(Text("\nNothing stops any of them."))


def _print_drivers(odds: Odds, out: Console) -> None:
    if not odds.driven:
        out.print(Text(f"\n{TOO_FEW}"))
        return
    out.print(
        titled("What drives what is left", columns.NARROW_DRIVEN, list(_rows(odds.driven)), out)
    )


def _rows(driven: tuple[Driven, ...]) -> Iterator[tuple[str, str, Driver]]:
    """Yield the drivers of each figure, the figure named once."""
    for each in driven:
        fit = f"{each.fit:.2f}{'' if each.linear else ' not linear'}"
        for i, driver in enumerate(drivers_of(each)):
            yield bare(each.figure) if i == 0 else "", fit if i == 0 else "", driver
