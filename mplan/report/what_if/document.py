"""The what-if of a report as data: what can be set, and every setting that was flown."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Event
from typing import Any

from mplan.comparing import compare
from mplan.plan import Plan
from mplan.report.files import Progress
from mplan.report.what_if import combinations
from mplan.report.what_if.beside import Told, refused
from mplan.report.what_if.beside import told as beside
from mplan.report.what_if.combinations import Key, Settings
from mplan.studies.what_if import ChangedFlight, fly_changes

Document = dict[str, Any]
SAYING = "what if"  # beside how many of its flights are done
Awaited = Callable[[], Document | None]


def fly(
    plan: Plan,
    *,
    most: int = combinations.MOST_FLIGHTS,
    workers: int | None = 1,
    progress: Progress = lambda done, total, name: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Document | None:
    """Fly at most so many changes of a plan; return them as JSON values.

    None where a plan has nothing to set: nothing of it was flown, or `most` is too few.
    """
    settings = combinations.chosen(plan, most)
    if plan.flight.faults or not settings.flown:
        return None
    told = {settings.home: beside(compare(plan, plan))}
    wanted = [settings.changes(key) for key in settings.flown]
    for index, flown in fly_changes(plan, wanted, workers=workers, stopped=stopped):
        told[settings.flown[index]] = _told(plan, flown)
        progress(len(told) - 1, len(wanted), SAYING)
    return document(settings, told)


@contextmanager
def flying(plan: Plan, most: int) -> Iterator[Awaited]:
    """Fly as `fly` does beside what is done meanwhile; the yielded function waits for it.

    They are flown in a thread: whoever flies in this process meanwhile takes turns with it.
    """
    left = Event()
    with ThreadPoolExecutor(1) as aside:
        try:
            yield aside.submit(fly, plan, most=most, stopped=left.is_set).result
        finally:
            left.set()


def _told(plan: Plan, flown: ChangedFlight) -> Told:
    return refused(flown) if flown.plan is None else beside(compare(plan, flown.plan))


def document(settings: Settings, told: Mapping[Key, Told]) -> Document:
    """Return settings and what was told of each as JSON values, rows that never differ left out."""
    moves = _moving(told)
    for each in told.values():
        if "rows" in each:
            each["rows"] = {name: row for name, row in each["rows"].items() if name in moves}
    return {
        "levers": [
            {
                "title": lever.title,
                "home": lever.home,
                "note": lever.note,
                "stops": [stop.told for stop in lever.stops],
            }
            for lever in settings.levers
        ],
        "home": _key(settings.home),
        "rows": moves,
        "flights": {_key(key): each for key, each in told.items()},
    }


def _key(key: Key) -> str:
    return " ".join(map(str, key))


def _moving(told: Mapping[Key, Told]) -> list[str]:
    """Return the rows that are not the same in all flights, in the order of the plan's."""
    found: dict[str, set[str]] = {}
    for each in told.values():
        for name, (value, _) in each.get("rows", {}).items():
            found.setdefault(name, set()).add(value)
    flown = sum("rows" in each for each in told.values())
    counted = {name: sum(name in each.get("rows", {}) for each in told.values()) for name in found}
    return [name for name, values in found.items() if len(values) > 1 or counted[name] < flown]


def text(told: Document) -> str:
    """Return the data as it stands in a page, where it opens no tag."""
    packed = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
    return packed.replace("<", "\\u003c")
