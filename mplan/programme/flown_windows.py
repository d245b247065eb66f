"""Launch windows that are flown when a schedule asks for a day: what is known, and kept.

A day is flown as `mplan windows` flies it; of a mission of several ships, all move together, and
the whole day counts if the plan closes. What is found is kept in the user's cache folder, by
the scenario, the kit's own source and the libraries' versions, so that no day is flown twice.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import date, datetime, time, timedelta, timezone
from pathlib import Path

from mplan import writing
from mplan.physics.arcs.compiled import cache_folder
from mplan.programme.missions import flown
from mplan.scenario import Scenario
from mplan.studies import executors
from mplan.studies.days import lit_days
from mplan.studies.kit import source_digest
from mplan.studies.windows import chances, of_day

Opening = tuple[datetime, datetime]
Openings = tuple[Opening, ...]
STRETCH = 30  # days flown from one that is asked for: a lunation; own choice

_KNOWN: dict[str, dict[date, Openings]] = {}


def known(scenario: Scenario) -> Mapping[date, Openings]:
    """Return the days that were flown, each with its windows; () where it has none that closes."""
    if scenario.hash not in _KNOWN:
        _KNOWN[scenario.hash] = _kept(_file(scenario))
    return _KNOWN[scenario.hash]


def fly_days(
    scenario: Scenario,
    first: date,
    *,
    days: int = STRETCH,
    done: Callable[[int, int], None] = lambda count, total: None,
) -> None:
    """Fly the days from `first` on that are not known yet, and keep each as it is found.

    Days on which the Sun cannot be within the site's limits at landing are known without a flight.
    Raises ScenarioError where the scenario cannot be flown on its own day.
    """
    found = dict(known(scenario))
    asked = [first + timedelta(days=i) for i in range(days)]
    asked = [day for day in asked if day not in found]
    lit = lit_days(flown(scenario).flight, asked)
    _keep(scenario, found | {day: () for day in asked if day not in lit})
    for count, (day, openings) in enumerate(_flown(scenario, lit)):
        _keep(scenario, {**known(scenario), day: openings})
        done(count + 1, len(lit))


def _flown(scenario: Scenario, days: list[date]) -> Iterator[tuple[date, Openings]]:
    executor = executors.chosen(count=len(days))
    for i, found in executor.answers(openings, ((scenario, day) for day in days)):
        yield days[i], found


def openings(scenario: Scenario, day: date) -> Openings:
    """Return the windows of one day whose plans close, a landing's with the Sun as asked.

    Of a mission of several ships, which have a window each, the whole day counts.
    """
    found = [x for x in chances(of_day(scenario, day)) if x.plan_closes and x.sun_fits is not False]
    if found and scenario.ships:
        whole = datetime.combine(day, time(), timezone.utc)
        return ((whole, whole + timedelta(hours=23, minutes=59)),)
    return tuple(sorted((x.opens, x.closes) for x in found))


def _keep(scenario: Scenario, found: dict[date, Openings]) -> None:
    _KNOWN[scenario.hash] = dict(sorted(found.items()))
    rows = {
        day.isoformat(): [[x.isoformat() for x in opening] for opening in each]
        for day, each in sorted(found.items())
    }
    file = _file(scenario)
    with suppress(OSError):  # it is then flown again the next time
        file.parent.mkdir(parents=True, exist_ok=True)
        writing.write(file, json.dumps(rows))


def _kept(file: Path) -> dict[date, Openings]:
    """Return what a file holds; nothing where it is not there or not whole."""
    with suppress(OSError, ValueError, AttributeError, TypeError):
        rows = json.loads(file.read_text("utf-8"))
        return {
            date.fromisoformat(day): tuple(
                (datetime.fromisoformat(a), datetime.fromisoformat(b)) for a, b in each
            )
            for day, each in rows.items()
        }
    return {}


def _file(scenario: Scenario) -> Path:
    return cache_folder().parent / "windows" / f"{scenario.hash}-{source_digest()}.json"
