"""What tables, pictures and files of a programme read off its calendar, each in one place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal, NamedTuple

from mplan.programme import Calendar, DatedEvent, MissionWindow, Task
from mplan.scenario.severity import SEVERITIES

NO_COMMITMENT = "Dates and costs are a planning study: no commitment, no readiness review."
FLIGHTS = ("flight", "test flight")
MILLION = 1e6


@dataclass(frozen=True)
class Year:
    """What a year costs, and what it may; in the programme's currency."""

    year: int
    recurring: float
    nonrecurring: float
    budget: float | None

    @property
    def total(self) -> float:
        """Both kinds of cost."""
        return self.recurring + self.nonrecurring

    @property
    def over(self) -> float | None:
        """How much more than the budget is spent; None within it, or where none is stated."""
        return (
            None if self.budget is None or self.total <= self.budget else self.total - self.budget
        )


class Chances(NamedTuple):
    """A launch's windows: how many are stated, those the build misses, the one taken, the next."""

    launch: str
    stated: int
    first: date
    missed: int
    met: MissionWindow | None
    following: MissionWindow | None


class Spent(NamedTuple):
    """What a mission or an element costs from today on, in the programme's currency."""

    of: str | None
    recurring: float
    nonrecurring: float


class NextDate(NamedTuple):
    """A day from today on, and what happens on it; no `hour` where only the day is planned."""

    day: date
    hour: str
    what: str


def flights(calendar: Calendar) -> list[Task]:
    """Return the flights, missions and test flights, in order of lift-off."""
    return sorted((x for x in calendar.tasks if x.kind in FLIGHTS), key=lambda x: x.begins)


def critical(calendar: Calendar) -> list[Task]:
    """Return the tasks of the critical path, in order of time."""
    return sorted((x for x in calendar.tasks if x.critical), key=lambda x: (x.begins, x.ends))


def years(calendar: Calendar) -> list[Year]:
    """Return the years that cost something or have a budget."""
    spent: dict[tuple[int, str], float] = {}
    for line in calendar.costs:
        spent[line.year, line.kind] = spent.get((line.year, line.kind), 0.0) + line.amount
    budget = {int(year): amount for year, amount in calendar.programme.budget.items()}
    every = sorted({year for year, _ in spent} | set(budget))
    return [
        Year(
            x, spent.get((x, "recurring"), 0.0), spent.get((x, "nonrecurring"), 0.0), budget.get(x)
        )
        for x in every
    ]


def chances(calendar: Calendar) -> list[Chances]:
    """Return what the windows of each launch come to, in order of lift-off."""
    found = []
    for flight in flights(calendar):
        own = [x for x in calendar.windows if x.mission == flight.mission]
        if own:
            met = next((x for x in own if x.met), None)
            before = [x for x in own if x.closes.date() < flight.begins]
            after = [x for x in own if x.opens.date() > flight.begins]
            row = (own[0].opens.date(), len(before), met, after[0] if after else None)
            found.append(Chances(own[0].mission, len(own), *row))
    return found


def costs_by(calendar: Calendar, by: Literal["element", "mission"]) -> list[Spent]:
    """Return what each element (engines and flights among them) or mission costs, dearest first.

    Development is shared by the missions that use what is developed.
    """
    spent: dict[str | None, dict[str, float]] = {}
    for line in calendar.costs:
        own = spent.setdefault(line.element if by == "element" else line.mission, {})
        own[line.kind] = own.get(line.kind, 0.0) + line.amount
    found = [
        Spent(x, y.get("recurring", 0.0), y.get("nonrecurring", 0.0)) for x, y in spent.items()
    ]
    return sorted(found, key=lambda x: (-(x.recurring + x.nonrecurring), x.of or ""))


def timed(calendar: Calendar, event: DatedEvent) -> bool:
    """Return whether an event has an hour: it is flown, or lifts off in a window that is known.

    A flight planned to the day stands at the midnight that begins its day.
    """
    launch = calendar.programme.launches[event.mission]
    return launch.flown or event.when.time() != time()


def next_dates(calendar: Calendar) -> list[NextDate]:
    """Return what happens from today on, in order: events of flights, ground work begun and ended.

    What begins today is left out: that all work free to begin does so is how it is planned.
    """
    today = calendar.programme.today
    found = [*_events(calendar), *_ground(calendar)]
    return sorted(x for x in found if x.day >= today)


def _events(calendar: Calendar) -> Iterator[NextDate]:
    for each in calendar.events:
        hour = f"{each.when:%H:%M}" if timed(calendar, each) else ""
        yield NextDate(
            each.when.date(), hour, f"{calendar.programme.title(each.mission)}: {each.name}"
        )


def _ground(calendar: Calendar) -> Iterator[NextDate]:
    for task in calendar.tasks:
        if task.kind not in FLIGHTS:
            if task.begins > calendar.programme.today:
                yield NextDate(task.begins, "", f"{task.name} begins")
            yield NextDate(task.ends, "", f"{task.name} ends")


def crew_of(calendar: Calendar, launch: str) -> str | None:
    """Return the crew that flies, None without one."""
    return getattr(calendar.programme.launches[launch], "crew", None)


def proof(calendar: Calendar) -> str:
    """Return in words whether a better schedule is ruled out."""
    if calendar.proven:
        return "no better schedule exists by the measure it was searched with"
    return (
        "the search was ended by its limit of work: a better schedule could save at most "
        f"{calendar.gap_days:,.0f} d, the delays of all {_ahead(calendar)} launches together"
    )


def stopped(calendar: Calendar) -> bool:
    """Return whether something that clashes stops the programme."""
    return any(x.severity == SEVERITIES[0] for x in calendar.clashes)


def sign(calendar: Calendar) -> str:
    """Return a sign for the gravest clash, as verdicts of missions have it."""
    decide = any(x.severity == SEVERITIES[1] for x in calendar.clashes)
    return "✕" if stopped(calendar) else "?" if decide else "✓"


def _ahead(calendar: Calendar) -> int:
    return sum(not x.flown for x in calendar.programme.launches.values())


def headline(calendar: Calendar) -> str:
    """Return the programme's name, where it starts and ends, and what does not fit, in one line."""
    count = len(calendar.clashes)
    fits = "nothing clashes" if not count else f"{count} clash{'es' * (count > 1)}"
    name = calendar.programme.name
    return f"{name}: from {calendar.programme.today} to {calendar.finish}, {fits}"


def last_day(task: Task) -> date:
    """Return the last day of work, a day at least."""
    return max(task.begins, task.ends - timedelta(days=1))


def utc(when: datetime) -> str:
    """Return a moment as ISO 8601 with its offset, to the second."""
    return when.isoformat(timespec="seconds")
