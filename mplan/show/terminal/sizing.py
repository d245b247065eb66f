"""A sizing on a terminal, never over 100 columns."""

from __future__ import annotations

import textwrap
from typing import IO

from rich.text import Text

from mplan.show.columns import Column
from mplan.show.sizing import tables, words
from mplan.show.terminal.page import WIDTH, cautions, console, titled
from mplan.studies.sizing import Sizing


def print_sizing(found: Sizing, file: IO[str]) -> None:
    """Write what was found to `file`: in words, the keys, the limits, figures, combinations."""
    out = console(file)
    for line in words.told(found):
        out.print(Text(line))
    if found.keys:
        out.print(titled("Freed keys", _KEYS, found.keys, out))
        for each in found.keys:
            said = textwrap.fill(f"{each.freed.key}: {each.reason}", WIDTH - 2)
            out.print(Text(textwrap.indent(said, "  ")))
    if found.active:
        title = "Limits that hold it" if found.closes else "Limits that are in the way"
        out.print(titled(title, _broken(tables.active_columns(found)), found.active, out))
    if found.after:
        out.print(titled("Before and after", tables.FIGURES, tables.figure_rows(found), out))
    if len(found.searched) > 1:
        columns = _broken(tables.searched_columns(found))
        out.print(titled("Combinations", columns, tables.ranked(found), out))
    out.print(Text(f"\n{textwrap.fill(words.KEY, WIDTH - 2)}"))
    out.print(cautions())


def _broken(columns: tuple[Column, ...]) -> list[Column]:
    """Return columns whose units stand on a line of their own, to leave room."""
    return [x._replace(header=x.header.replace(" [", "\n[")) for x in columns]


_KEYS = tables.KEYS[:3]
