"""One fault in the order of events, and the event that would mend it where one alone does."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from mplan.scenario.profiles import as_toml

Path = tuple[str | int, ...]


class Missing(NamedTuple):
    """An event that is missing, as a file would state it, and before which event it belongs."""

    before: int
    event: Mapping[str, Any]

    @property
    def written(self) -> str:
        """Return the event's keys as TOML on one line."""
        return as_toml([dict(self.event)]).removeprefix("[[events]]\n").strip().replace("\n", ", ")


class Fault(NamedTuple):
    """What is wrong at a `path` of the scenario, in one sentence; elements go by their key."""

    path: Path
    text: str
    missing: Missing | None = None

    @property
    def event(self) -> int:
        """The index of the event it speaks of; 0 where it speaks of all of them."""
        index = self.path[1] if self.path[0] == "events" and len(self.path) > 1 else 0
        return index if isinstance(index, int) else 0


def at(index: int, text: str, **missing: object) -> Fault:
    """Return a fault of one event, with the keys of an event that is missing before it, if any."""
    return Fault(("events", index), text, Missing(index, missing) if missing else None)
