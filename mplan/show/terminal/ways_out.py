"""Ways out on a terminal, never over 100 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import IO

from rich.text import Text

from mplan.checks.finding import Finding
from mplan.contingencies.ways_out.coverage import WaysCoverage
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.crew_and_ways_out import columns, tables, words
from mplan.show.terminal.findings import listed
from mplan.show.terminal.page import WIDTH, cautions, console, titled
from mplan.studies.ways_out import WaysAsked


def print_ways(found: WaysCoverage, file: IO[str], mended: Sequence[Finding] = ()) -> None:
    """Write the gaps of a mission to `file`, the longest first, then every band in figures.

    With gaps that are `mended`, what was flown against each.
    """
    out = console(file)
    out.print(Text(words.line(found), style="bold"))
    for each in found.gaps:
        said = f"{words.gap(each)}: {each.reason}"
        out.print(Text(textwrap.fill(said, WIDTH - 2, initial_indent="- ", subsequent_indent="  ")))
    if mended:
        out.print(listed(tuple(mended), every=True))
    for bands in tables.alike(found):
        title = f"{plain(bands[0].cabin)}: {', '.join(band.failure for band in bands)}"
        spans = bands[0].spans
        out.print(titled(title, _spans(words.fine(spans)), spans, out, "top"))
    _print_notes(file)


def print_ways_at(asked: tuple[WaysAsked, ...], file: IO[str]) -> None:
    """Write every way out at one time to `file`, failure by failure."""
    out = console(file)
    for each in asked:
        out.print(Text(textwrap.fill(words.told(each), WIDTH), style="bold"))
        if not each.ways:
            continue
        out.print(titled("Ways out", _WAYS, each.ways, out))
        burns = [(way, burn) for way in each.ways for burn in way.burns]
        if burns:
            out.print(titled("Their burns", _BURNS, burns, out))
        for way in each.ways:
            said = "; ".join(filter(None, (way.closed, way.note, words.left(way), _basis(way))))
            if said:
                lines = textwrap.fill(f"{way.name}: {said}", WIDTH - 2, subsequent_indent="  ")
                out.print(Text(f"\n{lines}"))
        out.print(Text(""))
    _print_notes(file)


def _basis(way: WayOut) -> str:
    return f"estimate: {way.estimate}" if way.estimate else ""


def _print_notes(file: IO[str]) -> None:
    out = console(file)
    out.print(Text("\n" + "\n".join(textwrap.fill(each, WIDTH) for each in words.NOTES)))
    out.print(cautions())


def _named(*headers: str, of: tuple[Column, ...]) -> list[Column]:
    """Return columns by their headers, whose units stand on a line of their own."""
    known = {column.header: column for column in of}
    return [known[x]._replace(header=x.replace(" [", "\n[")) for x in headers]


def _spans(fine: bool) -> list[Column]:
    """Return what is told of each span of one band."""
    unit = words.unit(fine)
    return [
        Column(f"from\n{unit}", lambda span: words.clock(span.begin, seconds=fine)),
        Column(f"to\n{unit}", lambda span: words.clock(span.end, seconds=fine)),
        Column("way\nhome", lambda span: columns.SAID[span.kind]),
        Column("usual way home,\nor why none", columns.usual),
        Column("least margin\n[m/s]", columns.least_margin, 0),
        Column(f"of which way,\nwhen {unit}", lambda span: columns.tightest(span, fine)),
    ]


_WAYS = [
    *_named("way out", "open", "required [m/s]", "margin [m/s]", of=columns.WAYS),
    *_named("time to its end [h]", "ends", "lands", of=columns.WAYS),
]
_BURNS = [
    *_named("burn", "element", "engine", "at [h:min]", of=columns.BURNS),
    *_named("required [m/s]", "available [m/s]", "left [m/s]", of=columns.BURNS),
]
