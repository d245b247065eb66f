"""Sensitivities on a terminal, never over 100 columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import IO

from rich.text import Text

from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.sensitivities.tables import ranked, uneven
from mplan.show.terminal.page import cautions, console, titled
from mplan.studies.sensitivities.differences import Sensitivities
from mplan.studies.sensitivities.exchange import Ratio


def print_sensitivities(
    found: Sensitivities, burns: Sequence[str], ratios: Sequence[Ratio], file: IO[str]
) -> None:
    """Write a table for each of `burns` to `file`, the most felt first; then exchange ratios."""
    out = console(file)
    for burn in burns:
        title = f"Margin after {burn}, {found.margins[burn]:,.0f} m/s, in {found.mission}"
        out.print(titled(title, _FELT, ranked(found, burn), out))
        for row, effect in uneven(found, burn):
            out.print(Text(f"{row.variation.title}: no one slope, spread {effect.spread:.2g} m/s"))
    for each in found.found:
        if each.trouble:
            out.print(Text(f"{each.variation.title}: not flown: {each.trouble}"))
    if ratios:
        title = f"Kilograms at lift-off for a kilogram more, margins kept, in {found.mission}"
        out.print(titled(title, _RATIOS, [x for x in ratios if x.ratio is not None], out))
        for ratio in ratios:
            if ratio.trouble:
                out.print(Text(f"{plain(ratio.element)}: not flown: {ratio.trouble}"))
    out.print(Text(f"\n{_KEY}"))
    if ratios:
        out.print(Text(_KEY_OF_RATIOS))
    out.print(cautions())


_FELT = (
    Column("change", lambda row: row[0].variation.title),
    Column("m/s\na unit", lambda row: row[1].value, 4),
    Column("spread\nm/s", lambda row: f"{row[1].spread:.1g}"),
    Column("lift-off\nkg", lambda row: row[0].lift_off, 1),
    Column("step\nunits", lambda row: row[0].variation.step, 2),
    Column("difference", lambda row: row[0].method),
)
_RATIOS = (
    Column("element", lambda row: plain(row.element)),
    Column("lift-off\nkg/kg", lambda row: row.ratio, 2),
    Column("spread\nkg/kg", lambda row: f"{row.spread or 0.0:.1g}"),
    Column("margin left over\nm/s a kg", lambda row: row.left, 5),
)
_KEY = (
    "One unit more of each, flown by its step and by twice that; spread: what the two differ by,\n"
    "or what solvers leave. What is less than twice its spread, or does nothing, is not listed.\n"
    "Dry mass is as stated, mass growth comes on top. A longer stage is filled, its dry mass kept."
)
_KEY_OF_RATIOS = (
    "Paid with propellant and its share of tank in every stage whose margin would fall, those of\n"
    "a climb in proportion; thrust is kept. Solved on flown partials, then flown: what is left."
)
