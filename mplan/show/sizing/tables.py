"""A sizing in tables: freed keys with what holds them, limits, figures, combinations."""

from __future__ import annotations

from collections.abc import Callable

from mplan.physics.constants import DAY
from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed
from mplan.studies.sizing import MEASURES, Active, Searched, Sizing

NONE = "None."


def keys(found: Sizing) -> Table:
    """Return every freed key: from, to, and which limit holds it there."""
    return Table(framed(KEYS, found.keys), NONE)


def limits(found: Sizing) -> Table:
    """Return the limits that hold the answer, and what a unit of each is worth."""
    return Table(framed(active_columns(found), found.active), NONE)


def figures(found: Sizing) -> Table:
    """Return mass, cost, height, days and the tightest margin, before and after."""
    return Table(framed(FIGURES, figure_rows(found)), NONE)


def searched(found: Sizing) -> Table:
    """Return each combination of whole numbers and choices, the least first."""
    return Table(framed(searched_columns(found), ranked(found)), NONE)


def ranked(found: Sizing) -> list[Searched]:
    """Return the combinations, the least first, then those that do not close."""
    return sorted(found.searched, key=lambda x: (x.value is None, x.value or 0.0))


def active_columns(found: Sizing) -> tuple[Column, ...]:
    """Return the columns of the limits that hold the answer, in the unit of what is least."""
    unit = "kg" if found.measure.unit == "t" else found.measure.unit
    worth: Callable[[Active], float | None] = lambda x: x.price  # noqa: E731
    return (
        Column("held by", lambda x: x.room.name),
        Column("left", lambda x: x.room.said),
        Column(f"worth [{unit} a unit]", worth, 3),
        Column("unit", lambda x: x.room.unit),
    )


def searched_columns(found: Sizing) -> tuple[Column, ...]:
    """Return the columns of the combinations."""
    measure = found.measure
    return (
        Column("combination", lambda x: ", ".join(f"{k} {v}" for k, v in x.levels.items())),
        Column(
            f"{measure.title} [{measure.unit}]",
            lambda x: None if x.value is None else x.value / measure.per_unit,
            measure.digits,
        ),
        Column("what came of it", lambda x: x.outcome),
        Column("flights", lambda x: x.flights, 0),
    )


def figure_rows(found: Sizing) -> list[tuple[str, str, str]]:
    """Return each figure with its values before and after, in words; blank where not flown."""
    plans = [found.before, found.after]
    rows = []
    for each in MEASURES.values():
        told = [each.shown(each.of(x.scenario)) if x else "" for x in plans]
        if each.name != "cost" or any(each.of(x.scenario) for x in plans if x):
            rows.append((each.title, told[0], told[1]))
    days = [f"{x.flight.duration / DAY:.2f} d" if x else "" for x in plans]
    rows.append(("mission", days[0], days[1]))
    tight = [x.tightest if x else None for x in plans]
    said = [f"{x.margin:,.1f} m/s after {x.name}" if x else "" for x in tight]
    rows.append(("tightest margin", said[0], said[1]))
    closes = ["" if x is None else "yes" if x.closes else "no" for x in plans]
    rows.append(("closes", closes[0], closes[1]))
    return rows


KEYS = (
    Column("key", lambda x: x.freed.key),
    Column("from", lambda x: x.before),
    Column("to", lambda x: x.after),
    Column("what holds it there", lambda x: x.reason),
)
FIGURES = (
    Column("figure", lambda x: x[0]),
    Column("before", lambda x: x[1]),
    Column("after", lambda x: x[2]),
)
