"""What stands in a calendar: tasks, events, windows, costs and clashes. Days are UTC days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from mplan.checks.finding import Remedy, Severity

TaskKind = Literal[
    "develop",
    "qualify",
    "deliver",
    "build",
    "ship",
    "stack",
    "train",
    "rehearse",
    "ahead",
    "test flight",
    "flight",
    "recovery",
    "turnaround",
]


@dataclass(frozen=True)
class Task:
    """One stretch of work, from the morning of `begins` to the morning of `ends`.

    `float_days` is how far it may slip from here without the programme ending later, the order of
    work on pads, with crews and teams kept as planned (so resources count) and each launch in a
    window; what is done as late as its launch allows (training, shipping) has little. `critical`
    is what may not slip and could not be done earlier either. `after` has the keys of tasks that
    come before. `stated` work is dated by the file or under way, and never critical. What follows
    the last flights (turnaround, recovery) delays none of them and is not critical either.
    """

    key: str
    name: str
    kind: TaskKind
    mission: str | None  # or test flight
    resource: str | None  # the pad, crew, control team, engine or line that it takes up
    begins: date
    ends: date
    float_days: float
    critical: bool
    after: tuple[str, ...]
    stated: bool
    element: str | None = None

    @property
    def days(self) -> int:
        """How long it takes [d]."""
        return (self.ends - self.begins).days


@dataclass(frozen=True)
class DatedEvent:
    """What happens on a flight that is under way, or when a planned one leaves and ends; UTC."""

    mission: str
    name: str
    when: datetime
    ship: str | None = None


@dataclass(frozen=True)
class MissionWindow:
    """A launch window of a mission, UTC; `met` where the mission lifts off in it."""

    mission: str
    opens: datetime
    closes: datetime
    met: bool


@dataclass(frozen=True)
class CostLine:
    """An amount of money [the programme's currency] in one year.

    `element` is what it is spent on: an element, an engine, "flight operations".
    """

    year: int
    element: str
    mission: str | None
    kind: Literal["recurring", "nonrecurring"]
    amount: float


@dataclass(frozen=True)
class Clash:
    """What does not fit, the tasks it lies between, and remedies that were scheduled anew."""

    text: str
    severity: Severity
    tasks: tuple[str, ...]
    remedies: tuple[Remedy, ...] = ()
