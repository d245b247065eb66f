"""A programme's calendar as JSON values; `calendar.schema.json` in the package is the contract."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from mplan.cautions import CAUTIONS
from mplan.programme import Calendar, Clash, Task
from mplan.show.programme.readings import NO_COMMITMENT, timed, utc, years

FORMAT = "mplan-programme-calendar/1"


def schema() -> dict[str, Any]:
    """Return the JSON Schema that every document obeys."""
    return json.loads(files("mplan").joinpath("calendar.schema.json").read_text("utf-8"))


def document(calendar: Calendar) -> dict[str, Any]:
    """Return the calendar as JSON values; a unit stands in each name, money in the currency."""
    programme = calendar.programme
    return {
        "format": FORMAT,
        "cautions": [NO_COMMITMENT, *CAUTIONS],
        "programme": {"name": programme.name, "currency": programme.currency},
        "today": str(programme.today),
        "finish": str(calendar.finish),
        "proven": calendar.proven,
        "gap_days": calendar.gap_days,
        "tasks": [_task(x) for x in calendar.tasks],
        "events": [
            {
                "mission": x.mission,
                "ship": x.ship,
                "name": x.name,
                "day": str(x.when.date()),
                "time_utc": utc(x.when) if timed(calendar, x) else None,
            }
            for x in calendar.events
        ],
        "windows": [
            {
                "mission": x.mission,
                "opens_utc": utc(x.opens),
                "closes_utc": utc(x.closes),
                "met": x.met,
            }
            for x in calendar.windows
        ],
        "costs": [
            {
                "year": x.year,
                "element": x.element,
                "mission": x.mission,
                "kind": x.kind,
                "amount_currency": x.amount,
            }
            for x in calendar.costs
        ],
        "years": [
            {
                "year": x.year,
                "recurring_currency": x.recurring,
                "nonrecurring_currency": x.nonrecurring,
                "budget_currency": x.budget,
            }
            for x in years(calendar)
        ],
        "clashes": [_clash(x) for x in calendar.clashes],
    }


def _task(task: Task) -> dict[str, Any]:
    return {
        "key": task.key,
        "name": task.name,
        "kind": task.kind,
        "mission": task.mission,
        "element": task.element,
        "resource": task.resource,
        "begins": str(task.begins),
        "ends": str(task.ends),
        "float_days": task.float_days,
        "critical": task.critical,
        "stated": task.stated,
        "after": list(task.after),
    }


def _clash(clash: Clash) -> dict[str, Any]:
    return {
        "severity": clash.severity,
        "text": clash.text,
        "tasks": list(clash.tasks),
        "remedies": [
            {"change": x.change, "closes": x.closes, "outcome": x.outcome} for x in clash.remedies
        ],
    }
