"""Whether the ships of a mission can be one mission: an element flies with one of them."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.scenario import raw
from mplan.scenario.ships import views
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import hint, shown

MAIN = "the main ship"


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield each element that is on two pads or nowhere, and each ship that carries people."""
    owner = dict.fromkeys(raw.stack(data), MAIN)
    for name in views.names(data):
        ship = raw.table(data, "ships", name)
        yield from _as_left(name, ship)
        for index, element in enumerate(raw.stack(ship)):
            if element not in raw.elements(data):
                text = f"no element is called {shown(element)}; {hint(element, raw.elements(data))}"
                yield KeyProblem(("ships", name, "stack", index), text)
            if owner.get(element, name) != name:
                text = f"{shown(element)} is in the stack of {owner[element]} already"
                yield KeyProblem(("ships", name, "stack", index), text)
            owner.setdefault(element, name)
        for key in ("crew", "landing_crew"):
            aboard = raw.table(ship, "mission").get(key, 0)
            if isinstance(aboard, int) and aboard > 0:
                text = f"found {aboard}; accepted: 0, the crew lift off with {MAIN}"
                yield KeyProblem(("ships", name, "mission", key), text)


def _as_left(name: str, ship: raw.Data) -> Iterator[KeyProblem]:
    """Yield what a ship states that was left by an earlier mission; a profile where none was."""
    if "left_by" not in ship:
        if "mission" not in ship:
            text = "missing; accepted: a table with its profile, or left_by in place of it"
            yield KeyProblem(("ships", name, "mission"), text)
        return
    for key in set(ship) - {"left_by", "stack"}:
        text = "leave it out: it is as the mission of left_by has it"
        yield KeyProblem(("ships", name, key), text)
