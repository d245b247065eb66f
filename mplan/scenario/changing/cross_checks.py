"""What does not fit together in a scenario's tables, each check shown those that it asks about.

A check sees no other tables. So it has nothing to find in tables that a scenario already has, which
is there because nothing is wrong with it, and a change asks those alone whose tables it touches.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from typing import Any

from mplan.scenario import building, control, feed, mounting, raw, references, sense
from mplan.scenario import thruster_budget as budget
from mplan.scenario.living import electric, supplies
from mplan.scenario.radio import receiving, relaying
from mplan.scenario.ships import agreement, upkeep
from mplan.scenario.validation import KeyProblem

NAMES = ("stack", "elements", "ships", "events")  # names stand there, and what they point at
CHECKS: tuple[tuple[Callable[[raw.Data], Iterator[KeyProblem]], tuple[str, ...]], ...] = (
    (building.findings, ("elements",)),
    (mounting.findings, ("elements",)),
    (feed.findings, ("elements", "events")),
    (control.findings, ("elements", "events")),
    (budget.findings, ("elements", "thruster_budget")),
    (electric.findings, ("elements",)),
    (supplies.findings, ("elements", "mission", "surface_walks")),
    (agreement.findings, ("stack", "elements", "ships")),
    (receiving.findings, ("stations",)),
    (relaying.findings, ("relays", "stations", "dates")),
    (upkeep.findings, ("stack", "elements", "orbit_upkeep")),
)


def findings(
    data: raw.Data, complete: raw.Data, met: Collection[str], touched: set[str]
) -> Iterator[KeyProblem]:
    """Yield what does not fit together.

    `complete` is `data` with the profile's events where the file states none; `met` are elements
    that other ships lift; `touched` are the keys of tables that no scenario has already.
    """
    if touched & set(NAMES):
        yield from references.findings(_part(data, NAMES), _part(complete, NAMES), met)
    yield from sense.findings(data)
    for check, keys in CHECKS:
        if touched & set(keys):
            yield from check(_part(data, keys))


def _part(data: raw.Data, keys: tuple[str, ...]) -> dict[str, Any]:
    return {key: data[key] for key in keys if key in data}
