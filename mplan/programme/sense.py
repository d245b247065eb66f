"""What is wrong with a programme beyond single keys: names, cycles, dates that contradict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import TYPE_CHECKING

from mplan.programme.models import LaunchTable, PlannedMission
from mplan.programme.money import whole_days
from mplan.scenario.dates import LAST_DAY
from mplan.scenario.reading.lines import Path
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import hint, shown

if TYPE_CHECKING:
    from mplan.programme.programme import Programme

_ARTICLES = {
    "pads": "pad",
    "crews": "crew",
    "control_teams": "control team",
    "engines": "engine",
    "elements": "element",
    "missions": "mission",
    "ships": "ship that its scenario launches on its own",
}


def findings(programme: Programme) -> list[KeyProblem]:
    """Return everything that does not make sense, each once."""
    found = [*_years(programme), *_names(programme), *_shared_names(programme)]
    found += [x for name in programme.launches for x in _dates(programme, name)]
    found += [*_ready(programme), *_development(programme)]
    return found or [*_cycle(programme), *_fixed_order(programme), *_shared_pads(programme)]


def table_of(programme: Programme, launch: str) -> Path:
    """Return the path of the table that a launch stands in."""
    return ("missions" if launch in programme.missions else "test_flights", launch)


def _years(programme: Programme) -> Iterator[KeyProblem]:
    for year in programme.budget:
        if not (year.isdigit() and 1900 <= int(year) <= LAST_DAY.year):
            text = f"found {shown(year)}; accepted: a year up to {LAST_DAY.year}, like 2031"
            yield KeyProblem(("budget", year), text)


def _names(programme: Programme) -> Iterator[KeyProblem]:
    """Yield names of things that do not exist."""
    for launch, each in programme.launches.items():
        table: Path = table_of(programme, launch)
        yield from _unknown(programme.pads, "pads", each.pad, (*table, "pad"))
        team = (*table, "control_team")
        yield from _unknown(programme.control_teams, "control_teams", each.control_team, team)
        if (crew := getattr(each, "crew", None)) is not None:
            yield from _unknown(programme.crews, "crews", crew, (*table, "crew"))
        for index, name in enumerate(each.after):
            yield from _unknown(programme.launches, "missions", name, (*table, "after", index))
        yield from _unknown_elements(programme, launch, table)
    for launch, mission in programme.missions.items():
        yield from _names_of_ships(programme, launch, mission)
    for name, supply in programme.elements.items():
        for engine in supply.engines:
            path = ("elements", name, "engines", engine)
            yield from _unknown(programme.engines, "engines", engine, path)
    for name, drill in programme.rehearsals.items():
        at: Path = ("rehearsals", name)
        team = (*at, "control_team")
        yield from _unknown(programme.control_teams, "control_teams", drill.control_team, team)
        yield from _unknown(programme.missions, "missions", drill.before, (*at, "before"))


def _unknown_elements(programme: Programme, launch: str, table: Path) -> Iterator[KeyProblem]:
    if programme.launches[launch].flown or programme.launches[launch].hardware_ready:
        return  # nothing is built for it
    stated = getattr(programme.launches[launch], "elements", None)
    if stated is None and launch not in programme.scenarios:
        return  # what it flies is told to be missing
    names = [programme.built_as(launch, x) for x in programme.elements_of(launch)]
    if stated is not None:
        for index, name in enumerate(names):
            path = (*table, "elements", index)
            yield from _unknown(programme.elements, "elements", name, path)
    elif lacking := [name for name in names if name not in programme.elements]:
        text = f"its stack has {', '.join(map(shown, lacking))}, of which there is no table in "
        text += f"[elements]; {hint(lacking[0], programme.elements)}; an element that comes off "
        text += "the line of another is named in built_as"
        yield KeyProblem((*table, "scenario"), text)


def _names_of_ships(
    programme: Programme, launch: str, mission: PlannedMission
) -> Iterator[KeyProblem]:
    """Yield ships and elements of a mission that its scenario does not have."""
    if launch not in programme.scenarios:
        return
    table = table_of(programme, launch)
    for ship, each in mission.ships.items():
        yield from _unknown(programme.ships_ahead(launch), "ships", ship, (*table, "ships", ship))
        if each.pad is not None:
            yield from _unknown(programme.pads, "pads", each.pad, (*table, "ships", ship, "pad"))
    for name, line in mission.built_as.items():
        path = (*table, "built_as", name)
        yield from _unknown(programme.elements_of(launch), "elements", name, path)
        yield from _unknown(programme.elements, "elements", line, path)


def _shared_pads(programme: Programme) -> Iterator[KeyProblem]:
    """Yield ships of one mission that leave one pad in less time than it takes."""
    for launch, mission in programme.missions.items():
        by_pad: dict[str, list[tuple[int, str]]] = {}
        for ship, ahead in {"": 0, **programme.ships_ahead(launch)}.items():
            own = mission.ships.get(ship)
            by_pad.setdefault((own and own.pad) or mission.pad, []).append((-ahead, ship))
        for pad, ships in by_pad.items():
            for (day, _), (later, ship) in pairwise(sorted(ships)):
                own = mission.ships.get(ship)
                stacking = mission.stacking if own is None or own.stacking is None else own.stacking
                takes = whole_days(programme.pads[pad].turnaround) + whole_days(stacking)
                if later - day < takes:
                    text = f"two of its ships leave pad {pad} {later - day} d apart, which takes "
                    text += f"{takes} d to be turned round and stacked again; accepted: another "
                    text += 'pad for one of them, for example ships.lander = {pad = "..."}'
                    yield KeyProblem((*table_of(programme, launch), "pad"), text)


def _unknown(known: Iterable[str], kind: str, name: str, path: Path) -> Iterator[KeyProblem]:
    if name not in known:
        text = f"no {_ARTICLES[kind]} is called {shown(name)}; {hint(name, known)}"
        yield KeyProblem(path, text)


def _shared_names(programme: Programme) -> Iterator[KeyProblem]:
    for name in programme.test_flights.keys() & programme.missions.keys():
        text = "a mission is called so too; accepted: another name"
        yield KeyProblem(("test_flights", name), text)


def _dates(programme: Programme, launch: str) -> Iterator[KeyProblem]:
    """Yield dates of one launch that contradict one another, or today."""
    each, table, today = programme.launches[launch], table_of(programme, launch), programme.today
    for text, key in _told(each, today):
        yield KeyProblem((*table, key), text)
    for index, window in enumerate(each.windows):
        if window.closes < window.opens:
            text = f"found {window.closes}; accepted: no earlier than it opens, {window.opens}"
            yield KeyProblem((*table, "windows", index, "closes"), text)
    if each.windows and getattr(each, "windows_from", None) is not None:
        yield KeyProblem((*table, "windows_from"), "windows are stated too; accepted: one of both")
    elif getattr(each, "fly_windows", False) and (
        each.windows or getattr(each, "windows_from", None)
    ):
        text = "windows are stated too; accepted: false, or no windows and no windows_from"
        yield KeyProblem((*table, "fly_windows"), text)


def _told(each: LaunchTable, today: date) -> Iterator[tuple[str, str]]:
    first, last, day = each.launch_not_before, each.launch_not_after, each.launch
    if first and last and last < first:
        text = f"found {last}; accepted: no earlier than launch_not_before, {first}"
        yield text, "launch_not_after"
    if day is None:
        if each.flown:
            yield (
                "it is flown, but when is missing; write for example: launch = 2031-05-14",
                "flown",
            )
        return
    if each.flown and day > today:
        yield (
            f"found {day}, after today, {today}, though it is flown; accepted: an earlier day",
            ("launch"),
        )
    if not each.flown and day < today:
        yield (
            f"found {day}, before today, {today}, and not flown; accepted: a later day, or "
            + ("flown = true"),
            "launch",
        )
    if first and day < first:
        yield f"found {day}; accepted: no earlier than launch_not_before, {first}", "launch"
    if each.hardware_ready and day < each.hardware_ready:
        yield f"found {day}, before its hardware is ready, {each.hardware_ready}", "launch"


def _ready(programme: Programme) -> Iterator[KeyProblem]:
    for name, supply in programme.elements.items():
        for index, day in enumerate(supply.under_way):
            if day < programme.today:
                text = f"found {day}, before today, {programme.today}; accepted: a later day, or "
                yield KeyProblem(("elements", name, "under_way", index), text + "count it in stock")


def _development(programme: Programme) -> Iterator[KeyProblem]:
    """Yield times of development of an engine that exists."""
    for name, engine in programme.engines.items():
        for key in ("development", "qualification"):
            if engine.status == "existing" and getattr(engine, key) > 0.0:
                text = f'an engine that is "existing" has no {key} ahead; accepted: none, or '
                yield KeyProblem(("engines", name, key), text + 'status = "in development"')


def _cycle(programme: Programme) -> Iterator[KeyProblem]:
    """Yield a cycle among what comes after what, named from its start to its start."""
    graph = {name: each.after for name, each in programme.launches.items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        cycle = list(reversed(error.args[1]))
        start = min(range(len(cycle) - 1), key=lambda i: list(graph).index(cycle[i]))
        around = [*cycle[start:-1], *cycle[: start + 1]]
        text = f"comes after itself: {' after '.join(around)}; accepted: no cycle"
        yield KeyProblem((*table_of(programme, around[0]), "after"), text)


def _fixed_order(programme: Programme) -> Iterator[KeyProblem]:
    """Yield launches that are dated before one that they come after."""
    for name, each in programme.launches.items():
        for index, earlier in enumerate(each.after):
            day = programme.launches[earlier].launch
            if each.launch and day and each.launch <= day:
                text = f"found {shown(earlier)}, which lifts off on {day}, but this one on "
                path = (*table_of(programme, name), "after", index)
                yield KeyProblem(path, f"{text}{each.launch}; accepted: an earlier one")
