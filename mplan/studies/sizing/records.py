"""What a search for the least has found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.studies.sizing.freed import Freed, Value
from mplan.studies.sizing.measures import Measure
from mplan.studies.sizing.rooms import Room


@dataclass(frozen=True)
class Sized:
    """One freed key: its value as the search leaves it, and what holds it there.

    `active` names the limits that do, by the flights around it.
    """

    freed: Freed
    value: Value
    reason: str
    active: tuple[str, ...] = ()

    @property
    def before(self) -> str:
        """The value in the scenario, with its unit; "not stated" where it has none."""
        now = self.freed.now
        return "not stated" if now is None else self.freed.written(now)

    @property
    def after(self) -> str:
        """The value found, with its unit."""
        return self.freed.written(self.value)


@dataclass(frozen=True)
class Active:
    """A limit that holds the answer: what is left up to it, and what a unit of it is worth.

    `price` is how much less there would be to pay if the limit gave way by one `room.unit`, in
    the SI unit of what is least, by the slopes flown; None for a plan that does not close.
    """

    room: Room
    price: float | None


@dataclass(frozen=True)
class Searched:
    """One combination of whole numbers and choices: its least `value`, or why there is none."""

    levels: Mapping[str, Value]  # by key
    value: float | None
    outcome: str
    flights: int


@dataclass(frozen=True)
class Sizing:
    """The least that was found; values of what is least in SI, costs in millions.

    `before` is None where the scenario has no flight. `after` closes, or is the plan nearest to
    closing where nothing that was flown does, and None where nothing flew. `conflict` then has the
    limits that are passed, and `active` those that hold them there.
    """

    measure: Measure
    scenario: Scenario
    before: Plan | None
    after: Plan | None
    closes: bool
    keys: tuple[Sized, ...]
    active: tuple[Active, ...]
    conflict: tuple[Room, ...]
    unmoved: tuple[str, ...]  # of the conflict, what no freed key moves
    searched: tuple[Searched, ...]
    flights: int
    ended: str  # why the search ended before all was searched; "" if it did not
    starts: tuple[float | None, ...]  # the least from each start of the first combination
    freed: tuple[Freed, ...]  # also where nothing flew, and `keys` is empty

    @property
    def value_before(self) -> float:
        """What is to be least, of the scenario as it stands."""
        return self.measure.of(self.scenario)

    @property
    def value_after(self) -> float | None:
        """What is to be least, as found; None where nothing closes."""
        return self.measure.of(self.after.scenario) if self.after and self.closes else None

    @property
    def stopped(self) -> bool:
        """Whether the search was stopped before it ended."""
        return self.ended == "stopped"
