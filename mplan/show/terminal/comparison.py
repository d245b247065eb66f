"""Two plans side by side on a terminal, never over 100 columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import IO

from rich.text import Text

from mplan.comparing import Comparison
from mplan.show.columns import Column
from mplan.show.comparing import words
from mplan.show.comparing.rows import sections
from mplan.show.terminal.page import cautions, console, titled


def print_comparison(comparison: Comparison, file: IO[str], *, every: bool = False) -> None:
    """Write what differs to `file`: verdicts, findings, then tables; with `every` all rows."""
    out = console(file)
    for line in words.told(comparison):
        out.print(Text(line))
    said = words.findings(comparison, every=every)
    if said:
        out.print(Text("\nFindings", style="bold"))
        for line in said:
            out.print(Text(line))
    shown = {x: y for x, y in sections(comparison, every=every).items() if y[1]}
    for title, (columns, rows) in shown.items():
        out.print(titled(title, _narrow(columns), rows, out))
    if shown:
        out.print(Text(f"\n{words.KEY}"))
    out.print(cautions())


def _narrow(columns: Sequence[Column]) -> list[Column]:
    """Return columns whose heads are broken into lines, to leave room."""
    return [x._replace(header=_broken(x.header)) for x in columns]


def _broken(head: str) -> str:
    """Return a head with its plan and its unit on lines of their own."""
    head = head.replace(" [", "\n[")
    for plan in ("B - A ", "A ", "B "):
        if head.startswith(plan) and head != "B - A":
            return f"{plan.rstrip()}\n{head.removeprefix(plan)}"
    return head
