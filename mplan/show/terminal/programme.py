"""A programme's calendar on a terminal, 80 columns wide at most."""

from __future__ import annotations

from collections.abc import Sequence
from typing import IO

from rich.console import Console
from rich.text import Text

from mplan.programme import Calendar
from mplan.programme.what_if import Difference, MissedWindow
from mplan.show.columns import Column
from mplan.show.programme import columns, readings
from mplan.show.terminal.page import cautions, console, titled

WIDTH = 80
DATES = 10  # of the next ones


def print_programme(
    calendar: Calendar,
    file: IO[str],
    *,
    missed: Sequence[MissedWindow] = (),
    change: Difference | None = None,
    every: bool = False,
) -> None:
    """Write the calendar to `file`; with `every`, each task with its float as well.

    `missed` is what each window costs that is missed, `change` what the calendar costs against the
    file as it stands.
    """
    out = console(file)
    out.width = min(WIDTH, out.width)
    out.print(Text(readings.headline(calendar), style="bold"))
    out.print(Text(f"{readings.proof(calendar)}."))
    if change is not None:
        _print_change(calendar, change, out)
    flights, path = readings.flights(calendar), readings.critical(calendar)
    out.print(titled("Flights", _broken(columns.launch_columns(calendar)), flights, out))
    out.print(titled("Critical path", _broken(columns.PATH), path, out))
    if missed:
        chances = _broken(columns.window_columns(calendar))
        out.print(titled("Launch windows", chances, readings.chances(calendar), out))
        wait = _broken(columns.missed_columns(calendar.programme))
        out.print(titled("If one is missed", wait, missed, out))
    _print_clashes(calendar, out)
    money = _broken(columns.money_columns(calendar.programme.currency))
    out.print(titled("Cost by year", money, readings.years(calendar), out))
    parts = _broken(columns.cost_columns(calendar, "mission"))
    out.print(titled("Cost by mission", parts, readings.costs_by(calendar, "mission"), out))
    dates = readings.next_dates(calendar)[:DATES]
    out.print(titled("Next dates", columns.DATES, dates, out))
    if every:
        parts = _broken(columns.cost_columns(calendar, "element"))
        out.print(titled("Cost by element", parts, readings.costs_by(calendar, "element"), out))
        kept = [x for x in columns.WORK if x.header not in ("kind", "takes up")]
        out.print(titled("All work, float with resources kept", _broken(kept), calendar.tasks, out))
    out.print(cautions())
    out.print(Text(readings.NO_COMMITMENT, style="italic"))


def _print_change(calendar: Calendar, change: Difference, out: Console) -> None:
    currency, more = calendar.programme.currency, change.money / readings.MILLION
    days = change.finish_days
    text = f"Against the file the programme ends {abs(days)} d {'later' if days > 0 else 'earlier'}"
    text = text if days else "Against the file the programme ends on the same day"
    total = change.after.total / readings.MILLION
    out.print(Text(f"{text}; from today on it costs {total:,.1f} M {currency}, {more:+,.1f} M."))
    if not change.proven:
        out.print(Text("One of the two is not proven the best: part of it may be chance."))
    launches = change.before.solved.launches
    ahead = [x for x in sorted(launches, key=launches.__getitem__) if x in change.after.asked]
    rows = [x for x in ahead if not change.after.asked[x].flown]
    out.print(titled("What the change shifts", _broken(columns.shift_columns(change)), rows, out))


def _broken(shown: Sequence[Column]) -> list[Column]:
    """Return columns whose headers have their unit on a line of its own."""
    return [x._replace(header=x.header.replace(" [", "\n[")) for x in shown]


def _print_clashes(calendar: Calendar, out: Console) -> None:
    out.print(Text("\nClashes", style="bold"))
    if not calendar.clashes:
        out.print(Text("none"))
    for clash in calendar.clashes:
        out.print(Text(f"{clash.severity}: {clash.text}"))
        for remedy in clash.remedies:
            word = "solves it" if remedy.closes else "does not solve it"
            out.print(Text(f"  {remedy.change}: {word}; {remedy.outcome}"))
