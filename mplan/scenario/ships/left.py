"""Ships that an earlier mission left: its file read, its elements laid under those of this one.

They stay as they are there: a change of such an element is refused, as the earlier mission flew it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import replace
from os.path import realpath
from typing import TYPE_CHECKING, Any

from mplan.scenario import changes, raw
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.reading.files import ScenarioFiles, named_beside
from mplan.scenario.reading.lines import Path
from mplan.scenario.ships import views
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, shown

if TYPE_CHECKING:
    from mplan.scenario.scenario import Scenario

KEY = "left_by"
_HOUSED = ("inside", "beside")  # on the pad, which is over


def read(
    files: ScenarioFiles, chain: tuple[str, ...], load: Callable[[str, tuple[str, ...]], Scenario]
) -> dict[str, Scenario]:
    """Return the missions that left ships which `files` take up, by the ship's name.

    Their elements are put among those of `files`. `chain` are the files that led to this one.
    Raises ScenarioError for a file that cannot be read or leads back.
    """
    found = {}
    here = (*chain, realpath(files.main.name))
    for name in views.names(files.data):
        ship = raw.table(files.data, "ships", name)
        named = ship.get(KEY)
        if not isinstance(named, str):
            continue
        place = files.place(("ships", name, KEY))
        path = named_beside(place.file, named)
        problem = Problem(str(place), f"ships.{name}.{KEY}", "")
        if realpath(path) in here:
            text = f"found {shown(named)}, which leads back to itself; accepted: an earlier mission"
            raise ScenarioError([replace(problem, text=text)])
        try:
            found[name] = load(path, here)
        except ScenarioError as error:
            first = error.problems[0]
            said = first.text if first.place == path else str(first)
            text = f"found {shown(named)}: {said}"
            raise ScenarioError([replace(problem, text=text)]) from None
        _lay(files, name, raw.stack(ship), found[name])
    return found


def _lay(files: ScenarioFiles, name: str, stack: list[str], mission: Scenario) -> None:
    """Put the elements that are taken up among those of a file."""
    theirs = mission.elements_as_written()
    wrong = []
    for index, element in enumerate(stack):
        if element not in theirs:
            path: Path = ("ships", name, "stack", index)
            text = f"found {shown(element)}; accepted: elements of {mission.source.name}: "
            text += choices(sorted(theirs))
            wrong.append(Problem(str(files.place(path)), changes.dotted(path), text))
        elif element in raw.table(files.main.data, "elements"):
            path = ("elements", element)
            text = f"leave it out: it is as {mission.source.name} has it"
            wrong.append(Problem(str(files.place(path)), changes.dotted(path), text))
    if wrong:
        raise ScenarioError(wrong)
    bodies = {x: _free(theirs[x], stack) for x in stack}
    files.data["elements"] = {**raw.table(files.data, "elements"), **bodies}


def _free(body: dict[str, Any], stack: Collection[str]) -> dict[str, Any]:
    """Return an element without what housed it on its pad."""
    return {key: x for key, x in body.items() if key not in _HOUSED or x in stack}


def refused(data: raw.Data, touched: Collection[Path]) -> Iterator[KeyProblem]:
    """Yield each change of an element that an earlier mission left."""
    for name in views.names(data):
        ship = raw.table(data, "ships", name)
        theirs = {("elements", x) for x in raw.stack(ship)} if KEY in ship else set()
        for path in touched:
            if path[:2] in theirs:
                text = (
                    f"found a change; accepted: none here, as {ship[KEY]} has it: change it there"
                )
                yield KeyProblem(path, text)
