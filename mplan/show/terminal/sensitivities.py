"""Sensitivities on a terminal, never over 100 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import IO, NamedTuple

from rich.console import Console
from rich.text import Text

from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.sensitivities.tables import jump_words, ranked, uneven, until_then
from mplan.show.terminal.page import cautions, console, titled
from mplan.studies.sensitivities.differences import Sensitivities, Sensitivity
from mplan.studies.sensitivities.effects import Effect
from mplan.studies.sensitivities.exchange import Ratio


def print_sensitivities(
    found: Sensitivities,
    burns: Sequence[str],
    ratios: Sequence[Ratio],
    file: IO[str],
    limit: str = "",
    elements: int = 0,
) -> None:
    """Write a table for each of `burns` to `file`, the most felt first; jumps; what is not flown.

    Then what is left of limits: of one `limit`, or of those that a brief tells, the most felt; last
    exchange ratios, of so many `elements` if all were flown.
    """
    out = console(file)
    if stopped := until_then(found, ratios, elements):
        out.print(Text(stopped, style="bold"))
    for burn in burns:
        title = f"Margin after {burn}, {found.margins[burn]:,.0f} m/s, in {found.mission}"
        out.print(titled(title, _FELT, ranked(found, burn), out))
        for row, effect in uneven(found, burn):
            out.print(Text(f"{row.variation.title}: no one slope, spread {effect.spread:.2g} m/s"))
    for each in found.found:
        for jump in each.jumps:
            out.print(Text(f"{each.variation.title}, {jump_words(jump, each.variation.unit)}"))
        if each.trouble:
            out.print(Text(f"{each.variation.title}: not flown: {each.trouble}"))
    _print_limits(found, limit, out)
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


class _Felt(NamedTuple):
    """What a limit's room feels, and whether it is the first line about the limit."""

    limit: str
    left: str
    what: Sensitivity
    effect: Effect
    first: bool


def _print_limits(found: Sensitivities, limit: str, out: Console) -> None:
    names, most = ([limit], None) if limit else (found.in_brief, MOST)
    rows = [row for name in names for row in _felt(found, name, most)]
    if rows:
        out.print(titled(f"What is left of limits, in {found.mission}", _LIMITS, rows, out))
    calm = [name for name in names if not ranked(found, name)]
    if calm:
        what = "Nothing that was flown until then" if found.stopped else "Nothing"
        out.print(Text(f"{what} is felt in: {'; '.join(calm)}."))


def _felt(found: Sensitivities, name: str, most: int | None) -> Iterator[_Felt]:
    room, rows = found.limits[name], ranked(found, name)
    left = f"{room.left:,.4g} {room.unit}"
    trifle = TRIFLE * abs(rows[0][1].slope) if rows else 0.0
    told = [row for row in rows if abs(row[1].slope) >= trifle]
    for index, (what, effect) in enumerate(told[:most]):
        yield _Felt(name, left, what, effect, first=index == 0)


MOST = 3  # lines about a limit, where all are told
TRIFLE = 1e-3  # of the most that a limit feels, below which an effect is not told
_LIMITS = (
    Column("limit of", lambda row: row.limit if row.first else ""),
    Column("left", lambda row: row.left if row.first else ""),
    Column("change", lambda row: row.what.variation.title),
    Column("a unit", lambda row: f"{row.effect.slope:+.3g}"),
    Column("spread", lambda row: f"{row.effect.spread:.1g}"),
)
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
    "or what solvers leave. What is less than twice its spread, or than 0.00005 m/s of a margin,\n"
    "is not listed.\n"
    "A jump was closed in on by flights up to six steps away. What is left of a limit is in its\n"
    "own unit; of supplies, control and other counters the one that is nearest is told.\n"
    "Dry mass is as stated, mass growth comes on top. A longer stage is filled, its dry mass kept."
)
_KEY_OF_RATIOS = (
    "Paid with propellant and its share of tank in every stage whose margin would fall, those of\n"
    "a climb in proportion; thrust is kept. Solved on flown partials, then flown: what is left."
)
