"""One list of events for the whole mission: those that name a ship are dealt out to it.

After this step every ship has a list of its own, as if the file had stated it under the ship.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from mplan.scenario import raw
from mplan.scenario.reading.lines import Lines, Path
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, shown


@dataclass(frozen=True)
class Dealt:
    """The tables with a list for each ship, where each event stood before, and what is wrong."""

    data: dict[str, Any]
    before: dict[Path, Path] = field(default_factory=dict)  # by the path of an event now
    problems: tuple[KeyProblem, ...] = ()

    def as_written(self, path: Path) -> Path:
        """Return the path in the file's text of what stands at a path of the tables."""
        for depth in (2, 4):
            if path[:depth] in self.before:
                return (*self.before[path[:depth]], *path[depth:])
        return path

    def lines(self, lines: Lines) -> Lines:
        """Return the lines of a file by the paths of the tables."""
        now = {then: path for path, then in self.before.items()}

        def moved(found: dict[Path, int]) -> dict[Path, int]:
            kept = {x: line for x, line in found.items() if x[:1] != ("events",) or len(x) < 2}
            own = {(*now[x[:2]], *x[2:]): n for x, n in found.items() if x[:2] in now}
            return {**kept, **own}

        return replace(lines, first=moved(lines.first), last=moved(lines.last))


def dealt(data: raw.Data, ships: tuple[str, ...]) -> Dealt:
    """Return the tables with every event in its ship's list, in order; `ships` are there too.

    Refused are a ship that is not there, and one whose events stand under it as well: what is
    wrong is told at the paths before.
    """
    listed = data.get("events")
    if not (isinstance(listed, list) and any("ship" in each for _, each in raw.events(data))):
        return Dealt(dict(data))
    problems: list[KeyProblem] = []
    own: list[Any] = []
    theirs: dict[str, list[Any]] = {}
    before: dict[Path, Path] = {}
    for index, event in enumerate(listed):
        name = event.get("ship") if isinstance(event, dict) else None
        if name is None:
            before["events", len(own)] = ("events", index)
            own.append(event)
        elif (wrong := _refused(data, name, ships)) is not None:
            problems.append(KeyProblem(("events", index, "ship"), wrong))
        else:
            there = theirs.setdefault(name, [])
            before["ships", name, "events", len(there)] = ("events", index)
            there.append({key: value for key, value in event.items() if key != "ship"})
    return Dealt(_with_lists(data, own, theirs), before, tuple(problems))


def _refused(data: raw.Data, name: object, ships: tuple[str, ...]) -> str | None:
    """Return what is wrong with the ship that an event names, None if nothing is."""
    if not isinstance(name, str) or name not in ships:
        return f"found {shown(name)}; accepted: {choices(ships) or 'no ship, for [ships] has none'}"
    if "events" in raw.table(data, "ships", name):
        return (
            f"the events of {name} are given under ships.{name}.events too; leave one of them out"
        )
    return None


def under_a_ship(data: raw.Data) -> list[KeyProblem]:
    """Return each event under a ship that names a ship."""
    return [
        KeyProblem(
            ("ships", name, "events", index, "ship"),
            f"found {shown(event['ship'])} in the list of {name}; leave it out",
        )
        for name, ship in raw.table(data, "ships").items()
        if isinstance(ship, dict)
        for index, event in raw.events(ship)
        if "ship" in event
    ]


def _with_lists(data: raw.Data, own: list[Any], theirs: dict[str, list[Any]]) -> dict[str, Any]:
    """Return the tables with each list in its place; a ship without one has its usual course."""
    made = {key: value for key, value in data.items() if key != "events"}
    ships = dict(raw.table(data, "ships"))
    for name, listed in theirs.items():
        ships[name] = {**raw.table(ships, name), "events": listed}
    events = {"events": own} if own else {}
    return {**made, **({"ships": ships} if theirs else {}), **events}
