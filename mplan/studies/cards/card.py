"""What one card holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from mplan.checks.contact import Sighted
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.looks import WayLeft
from mplan.flight.pointing import PointedBurn
from mplan.flight.record import Passage
from mplan.studies.cards.go_limits import GoLimit


class IfItFails(NamedTuple):
    """One failure, `elapsed` [s since lift-off], and the way out that it leaves those in a `cabin`.

    `when` says at which part of the event.
    """

    failure: FailureName
    when: str
    cabin: str
    elapsed: float
    left: WayLeft


@dataclass(frozen=True)
class EventCard:
    """One burn or event, by its `number` in order of time.

    `ship` launched it on its own, "" the main one; `elapsed` [s] from when on it is looked at, on
    the clock of the main ship: of a burn the ignition. `seen` is its contact, None where it is not
    examined; `link` the least margin [dB] over what is wanted of the radio links then. `crew` is
    who is aboard what takes part, `ways` what is left if it fails there: none where nobody is.
    """

    number: int
    ship: str
    passage: Passage
    elapsed: float
    points: tuple[PointedBurn, ...]
    limits: tuple[GoLimit, ...]
    limits_from: str
    seen: Sighted | None
    link: float | None
    silent: float | None  # s, that no station sees the ship while it lasts; None: not examined
    crew: int
    ways: tuple[IfItFails, ...]

    @property
    def title(self) -> str:
        """What it is called."""
        return self.passage.moment.event

    @property
    def is_burn(self) -> bool:
        """Whether an engine is lit."""
        return self.passage.burn is not None and self.passage.burn.lit
