"""What a decision costs in days and money, as tables: windows missed, designs, learning."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from mplan.programme import Calendar
from mplan.programme.what_if import Difference, MissedWindow
from mplan.scenario.wording import plain
from mplan.show import notebook
from mplan.show.columns import Column
from mplan.show.notebook import Table, Words
from mplan.show.programme import columns, readings
from mplan.show.programme.readings import MILLION
from mplan.show.programme.tables import NO_WINDOWS
from mplan.show.tables import framed

NO_DESIGN = "No other design is stated: what DESIGN has is laid over the file, and its cost told."


def missed(calendar: Calendar, found: Sequence[MissedWindow]) -> Table:
    """Return what follows if a launch misses its window, a row a launch that has windows."""
    return Table(framed(columns.missed_columns(calendar.programme), found), NO_WINDOWS)


def slower(calendar: Calendar, found: Mapping[str, Difference], days: int) -> Table:
    """Return how many days later all ends if units take so many `days` more to build."""
    shown = (
        Column("element", lambda x: plain(x[0])),
        Column("a unit takes longer by [d]", lambda x: days, 0),
        columns.ENDS_LATER._replace(value=lambda x: x[1].finish_days),
    )
    ordered = sorted(found.items(), key=lambda x: -x[1].finish_days)
    return Table(framed(shown, ordered), "No launch ahead takes a unit that is still to be begun.")


def design(calendar: Calendar, found: Difference | None) -> Words:
    """Return what another design costs: when all ends, the money, and every launch ahead."""
    if found is None:
        return notebook.sentence(NO_DESIGN)
    currency = calendar.programme.currency
    days, money = found.finish_days, found.money / MILLION
    text = (
        f"The programme ends on {found.after.finish}, {_later(days)}; from today on it costs "
        f"{found.after.total / MILLION:,.1f} M {currency}, {money:+,.1f} M."
    )
    if not found.proven:
        text += " One of the two schedules is not proven to be the best: part of it may be chance."
    shown = (
        Column("mission", lambda x: calendar.programme.title(x[0])),
        Column("lifts off as planned", lambda x: str(x[1])),
        Column("with the change", lambda x: str(x[2])),
        Column("later [d]", lambda x: (x[2] - x[1]).days, 0),
    )
    table = Table(framed(shown, list(_launches(found))))
    return Words(f"{notebook.sentence(text).html}{table.html}", f"{text}\n{table}")


def learning(calendar: Calendar, without: Calendar) -> Words:
    """Return the cost of each year beside that of a calendar `without` a learning curve."""
    if calendar.programme.learning is None:
        return notebook.sentence("The file states no [learning]: all units cost the same.")
    planned = {x.year: x.total for x in readings.years(calendar)}
    other = {x.year: x.total for x in readings.years(without)}
    rows = [(str(x), planned.get(x, 0.0), other.get(x, 0.0)) for x in sorted({*planned, *other})]
    rows.append(("all", sum(planned.values()), sum(other.values())))
    return Table(framed(columns.learning_columns(calendar.programme.currency), rows))


def _launches(found: Difference) -> Iterator[tuple[str, object, object]]:
    before = found.before.solved.launches
    for key in sorted(before, key=lambda x: before[x]):
        if not found.before.asked[key].flown:
            yield key, found.before.lift_off(key), found.after.lift_off(key)


def _later(days: int) -> str:
    return "on the same day" if not days else f"{abs(days)} d {'later' if days > 0 else 'earlier'}"
