"""Trades of engines on a terminal, never over 100 columns."""

from __future__ import annotations

from itertools import groupby
from typing import IO

from rich.text import Text

from mplan.scenario import Scenario
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.engine_trades import months, told, tonnes
from mplan.show.launch_windows import closing
from mplan.show.terminal.page import cautions, console, titled
from mplan.studies.engines import Mount, Trade
from mplan.vehicle.layout import main_engines


def print_trades(scenario: Scenario, trades: list[Trade], file: IO[str]) -> None:
    """Write a table for each mount to `file`, and below it why what does not close does not."""
    out = console(file)
    for mount, group in groupby(trades, lambda each: each.mount):
        those = list(group)
        out.print(titled(_title(scenario, mount), _COLUMNS, those, out))
        out.print(Text(f"margins: after {_burns(those)}"))
        for each in those:
            if not each.closes:
                out.print(Text(f"{each.change}: {each.outcome}"))
            if each.late:
                out.print(Text(f"{each.change}: {each.late}"))
    out.print(Text(f"\n{_KEY}"))
    out.print(cautions())


def _title(scenario: Scenario, mount: Mount) -> str:
    several = len(main_engines(scenario.elements[mount.element])) > 1
    which = f", {plain(mount.engine)}" if several else ""
    return f"Engines of the {plain(mount.element)}{which}, in {scenario.mission.name}"


def _burns(trades: list[Trade]) -> str:
    """Return the burns that the margins are told of: one's own, or the one that is left to."""
    return ", ".join(dict.fromkeys(x.burn for each in trades for x in told(each)))


def _margins(trade: Trade) -> str:
    return ", ".join(f"{each.margin:,.0f}" for each in told(trade))


_COLUMNS = (
    Column("change", lambda x: f"{x.change}{' *' if x.planned else ''}"),
    Column("plan\ncloses", lambda x: closing(x.closes, x.decisions_open)),
    Column("tightest\nm/s", lambda x: x.tightest_margin, 0),
    Column("T/W\ng0", lambda x: x.lift_off, 2),
    Column("dry\n+t", lambda x: tonnes(x.dry_mass), 2),
    Column("height\n+m", lambda x: x.height, 1),
    Column("left\nt", lambda x: tonnes(x.left_by_mixture), 1),
    Column("cost\nM", lambda x: x.cost, 0),
    Column("delivery\nmonths", months, 0),
    Column("margins\nm/s", _margins),
)
_KEY = (
    "*: as planned; T/W: of the stack at lift-off; left: stays in one tank when the other is dry;\n"
    "cost: nonrecurring cost and the units of this count, in millions. A stage that burns out by\n"
    "plan has no margin of its own: that of the stage above is told."
)
