"""The columns of a programme's tables, on screens and in print."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from mplan.programme import Calendar, MissionWindow, Programme
from mplan.programme.what_if import Difference
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.programme.readings import MILLION, crew_of

CRITICAL = "critical"


def launch_columns(calendar: Calendar) -> Sequence[Column]:
    """Return the columns of flights."""
    programme = calendar.programme
    tables = programme.launches
    pads = programme.pads_of
    return (
        Column("mission", lambda x: programme.title(x.mission)),
        Column("lift-off", lambda x: str(x.begins)),
        Column("ends", lambda x: str(x.ends)),
        Column("pad", lambda x: ", ".join(pads(x.mission))),
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
ENDS_LATER = Column("programme ends later [d]", lambda x: x.finish_days, 0)
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


def window_columns(calendar: Calendar) -> Sequence[Column]:
    """Return the columns of launches that have windows."""
    return (
        Column("mission", lambda x: calendar.programme.title(x.launch)),
        Column("windows", lambda x: x.stated, 0),
        Column("first opens", lambda x: str(x.first)),
        Column("missed", lambda x: x.missed, 0),
        Column("lifts off in", lambda x: _window(x.met)),
        Column("the next after it", lambda x: _window(x.following)),
    )


def _window(window: MissionWindow | None) -> str:
    """Return a window from day to day, the day alone where it opens and closes on the same."""
    if window is None:
        return "none"
    opens, closes = window.opens.date(), window.closes.date()
    return str(opens) if opens == closes else f"{opens} to {closes}"


def shift_columns(change: Difference) -> Sequence[Column]:
    """Return the columns of launches by name, as planned before and after a change."""
    before, after = change.before, change.after
    return (
        Column("mission", before.programme.title),
        Column("lifts off as in the file", lambda x: str(before.lift_off(x))),
        Column("with the change", lambda x: str(after.lift_off(x))),
        Column("later [d]", lambda x: (after.lift_off(x) - before.lift_off(x)).days, 0),
    )


def cost_columns(calendar: Calendar, by: Literal["element", "mission"]) -> Sequence[Column]:
    """Return the columns of what elements or missions cost, in millions of the currency."""
    unit = f"[M {calendar.programme.currency}]"
    named = plain if by == "element" else calendar.programme.title
    return (
        Column(by, lambda x: named(x.of) if x.of else "none"),
        Column(f"recurring {unit}", lambda x: x.recurring / MILLION, 1),
        Column(f"nonrecurring {unit}", lambda x: x.nonrecurring / MILLION, 1),
        Column(f"total {unit}", lambda x: (x.recurring + x.nonrecurring) / MILLION, 1),
    )


def missed_columns(programme: Programme) -> Sequence[Column]:
    """Return the columns of windows that are missed; blank where there is none after it."""
    return (
        Column("mission that misses", lambda x: programme.title(x.mission)),
        Column("planned for", lambda x: str(x.planned)),
        Column("next opens", lambda x: str(x.next_opens or "none")),
        Column("lifts off later [d]", lambda x: x.cost and x.cost.launch_days, 0),
        ENDS_LATER._replace(value=lambda x: x.cost and x.cost.finish_days),
        Column(
            f"costs more [M {programme.currency}]",
            lambda x: x.cost and x.cost.money / MILLION,
            1,
        ),
    )


def learning_columns(currency: str) -> Sequence[Column]:
    """Return the columns of years, all units as costly as the first beside what is planned."""
    unit = f"[M {currency}]"
    return (
        Column("year", lambda x: x[0]),
        Column(f"as planned {unit}", lambda x: x[1] / MILLION, 1),
        Column(f"without learning {unit}", lambda x: x[2] / MILLION, 1),
        Column(f"learning saves {unit}", lambda x: (x[2] - x[1]) / MILLION, 1),
    )


CLASHES = (
    Column("severity", lambda x: x[0].severity),
    Column("clash", lambda x: x[0].text),
    Column("remedy", lambda x: x[1].change if x[1] else "none tried"),
    Column("solves it", lambda x: "" if x[1] is None else "yes" if x[1].closes else "no"),
    Column("outcome", lambda x: x[1].outcome if x[1] else ""),
)
