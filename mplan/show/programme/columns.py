"""The columns of a programme's tables, on screens and in print."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.programme import Calendar
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.programme.readings import MILLION, crew_of

CRITICAL = "critical"


def launch_columns(calendar: Calendar) -> Sequence[Column]:
    """Return the columns of flights."""
    programme = calendar.programme
    tables = programme.launches
    return (
        Column("mission", lambda x: programme.title(x.mission)),
        Column("lift-off", lambda x: str(x.begins)),
        Column("ends", lambda x: str(x.ends)),
        Column("pad", lambda x: tables[x.mission].pad),
        Column("crew", lambda x: crew_of(calendar, x.mission) or "none"),
        Column("team", lambda x: tables[x.mission].control_team),
        Column("float [d]", lambda x: None if x.stated else x.float_days, 0),
        Column("path", lambda x: "stated" if x.stated else CRITICAL if x.critical else ""),
    )


WORK = (
    Column("work", lambda x: x.name),
    Column("kind", lambda x: x.kind),
    Column("takes up", lambda x: plain(x.resource) if x.resource else ""),
    Column("begins", lambda x: str(x.begins)),
    Column("ends", lambda x: str(x.ends)),
    Column("days [d]", lambda x: x.days, 0),
    Column("float [d]", lambda x: None if x.stated else x.float_days, 0),
    Column("path", lambda x: "stated" if x.stated else CRITICAL if x.critical else ""),
)
PATH = tuple(x for x in WORK if x.header in ("work", "begins", "ends", "days [d]"))
DATES = (
    Column("day", lambda x: str(x.day)),
    Column("UTC", lambda x: x.hour),
    Column("what", lambda x: x.what),
)


def money_columns(currency: str) -> Sequence[Column]:
    """Return the columns of years, amounts in millions of the currency."""
    unit = f"[M {currency}]"
    return (
        Column("year", lambda x: str(x.year)),
        Column(f"recurring {unit}", lambda x: x.recurring / MILLION, 1),
        Column(f"nonrecurring {unit}", lambda x: x.nonrecurring / MILLION, 1),
        Column(f"total {unit}", lambda x: x.total / MILLION, 1),
        Column(f"budget {unit}", lambda x: None if x.budget is None else x.budget / MILLION, 1),
        Column("over", lambda x: "" if x.over is None else f"{x.over / MILLION:,.1f} over"),
    )


CLASHES = (
    Column("severity", lambda x: x[0].severity),
    Column("clash", lambda x: x[0].text),
    Column("remedy", lambda x: x[1].change if x[1] else "none tried"),
    Column("solves it", lambda x: "" if x[1] is None else "yes" if x[1].closes else "no"),
    Column("outcome", lambda x: x[1].outcome if x[1] else ""),
)
