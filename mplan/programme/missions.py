"""What the missions of a programme fly: their scenarios, windows, durations and timelines."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timezone
from pathlib import Path as FilePath
from typing import Any

from mplan.plan import Plan, fly
from mplan.programme.models import PlannedMission, StatedWindow
from mplan.scenario import Scenario, load
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.reading import text_file
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import shown
from mplan.studies.launches import launch_days

WINDOWS = "mplan-windows/2"


@dataclass(frozen=True)
class Flyable:
    """A mission's scenario, and the days on which it can lift off (none stated: any).

    Ships launched on their own lift off so many days `ahead`; which elements they have `lifted`.
    """

    scenario: Scenario
    elements: tuple[str, ...]
    windows: tuple[tuple[datetime, datetime], ...]
    ahead: Mapping[str, int]
    lifted: Mapping[str, str]


_Plans = dict[tuple[str, date], Plan]
_PLANS: _Plans = {}  # flown, by the scenario's hash and the day of lift-off
_MOST_PLANS = 64


def flown(scenario: Scenario, day: date | None = None) -> Plan:
    """Return the scenario flown (on that `day`), from those flown already where it is among them.

    Raises ScenarioError where no trajectory exists.
    """
    day = day or scenario.dates.launch_day
    if day != scenario.dates.launch_day:
        scenario = launch_days.moved(scenario, day)
    key = (scenario.hash, day)
    if key not in _PLANS:
        while len(_PLANS) >= _MOST_PLANS:
            _PLANS.pop(next(iter(_PLANS)))
        _PLANS[key] = fly(scenario)
    return _PLANS[key]


def read_missions(
    missions: Mapping[str, PlannedMission],
    name: str,
    known: Mapping[str, tuple[PlannedMission, Flyable]],
) -> tuple[dict[str, Flyable], list[Problem], list[KeyProblem]]:
    """Return what can be read, a scenario's own problems, and those of the lines that name it.

    What is `known` from before a change is not read again.
    """
    found: dict[str, Flyable] = {}
    scenarios = {each.scenario: read.scenario for each, read in known.values()}
    problems: list[Problem] = []
    wrong: list[KeyProblem] = []
    for key, mission in missions.items():
        path = _beside(name, mission.scenario)
        if key in known and known[key][0] == mission:
            found[key] = known[key][1]
            continue
        try:
            if mission.scenario not in scenarios:
                scenarios[mission.scenario] = load(path)
            windows = _windows(mission, name)
        except ScenarioError as error:
            for each in error.problems:
                if each.place == path or each.key == "windows_from":
                    at = "windows_from" if each.key == "windows_from" else "scenario"
                    stated = mission.windows_from if at == "windows_from" else mission.scenario
                    text = f"found {shown(stated)}, {each.text}"
                    wrong.append(KeyProblem(("missions", key, at), text))
                else:
                    problems.append(each)
            continue
        scenario = scenarios[mission.scenario]
        found[key] = _flyable(scenario, windows)
    return found, problems, wrong


def _flyable(scenario: Scenario, windows: tuple[tuple[datetime, datetime], ...]) -> Flyable:
    lifted = {
        name: key
        for key, ship in scenario.ships.items()
        if ship.left_by is None
        for name in ship.stack
    }
    ahead = {
        key: (scenario.dates.launch_day - view.dates.launch_day).days
        for key, view in scenario.views.items()
    }
    elements = tuple(dict.fromkeys((*scenario.stack, *lifted)))
    return Flyable(scenario, elements, windows, ahead, lifted)


def _windows(mission: PlannedMission, name: str) -> tuple[tuple[datetime, datetime], ...]:
    """Return the windows stated, else those of a file, in order of time."""
    if mission.windows_from is not None:
        return _from_file(_beside(name, mission.windows_from))
    return as_moments(mission.windows)


def as_moments(windows: tuple[StatedWindow, ...]) -> tuple[tuple[datetime, datetime], ...]:
    """Return stated windows from the first minute of the first day to the last of the last."""
    days = sorted((x.opens, x.closes) for x in windows)
    return tuple((_moment(a, time()), _moment(b, time(23, 59))) for a, b in days)


def _from_file(path: str) -> tuple[tuple[datetime, datetime], ...]:
    """Return the windows of a file of `mplan windows --json` in which the mission can go.

    Their plans close and, of a landing, the Sun stands within the site's limits.
    """
    try:
        document: Any = json.loads(text_file.read(path))
        if document["format"] != WINDOWS:
            raise ValueError
        moments = [
            tuple(_utc(x[key]) for key in ("opens_utc", "closes_utc"))
            for x in document["windows"]
            if x["closes"] and x["sun_fits"] is not False
        ]
    except ScenarioError as error:
        raise ScenarioError([Problem(path, "windows_from", error.problems[0].text)]) from None
    except (ValueError, KeyError, TypeError):
        text = "not windows; accepted: a file written by `mplan windows SCENARIO --json PATH`"
        raise ScenarioError([Problem(path, "windows_from", text)]) from None
    if not moments:
        raise ScenarioError(
            [Problem(path, "windows_from", "has no window whose plan closes with the Sun as asked")]
        )
    return tuple(sorted((a, b) for a, b in moments))


def _moment(day: date, clock: time) -> datetime:
    return datetime.combine(day, clock, timezone.utc)


def _utc(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    return moment if moment.tzinfo else moment.replace(tzinfo=timezone.utc)


def _beside(file: str, origin: str) -> str:
    return FilePath(os.path.normpath(os.path.join(os.path.dirname(file), origin))).as_posix()
