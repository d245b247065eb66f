"""A programme solved once: what was asked, the days found, tasks and costs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone
from functools import cached_property

from mplan.programme.costs import costs
from mplan.programme.entries import CostLine, DatedEvent, MissionWindow, Task
from mplan.programme.flights_ahead import FlightsDone as Flying
from mplan.programme.flown_windows import STRETCH, fly_days, known
from mplan.programme.launching import Launching, flies, launchings, windows_of
from mplan.programme.missions import flown
from mplan.programme.programme import Programme
from mplan.programme.searching.solving import SolvedDays, solve
from mplan.programme.tasks import tasks
from mplan.scenario.dates import LAST_DAY
from mplan.scenario.problems import ScenarioError
from mplan.scenario.wording import plain


@dataclass(frozen=True)
class Schedule:
    """The days of a programme; what follows from them is worked out when it is asked for."""

    programme: Programme
    asked: dict[str, Launching]
    solved: SolvedDays
    flying: Flying | None = None  # of windows, where a change needs days that are not known

    @property
    def unflown(self) -> tuple[str, ...]:
        """The launches that lift off on a day that `fly_windows` asks for and that is not flown."""
        return tuple(
            key
            for key in self.asked
            if flies(self.programme, key)
            and self.lift_off(key) not in known(self.programme.scenarios[key].scenario)
        )

    @cached_property
    def tasks(self) -> tuple[Task, ...]:
        """All tasks, in the order of their beginnings."""
        return tasks(self.programme, self.asked, self.solved)

    @cached_property
    def costs(self) -> tuple[CostLine, ...]:
        """All costs by year, element and mission."""
        return costs(self.programme, self.asked, self.solved, self.tasks)

    @property
    def total(self) -> float:
        """What everything costs from today on."""
        return sum(each.amount for each in self.costs)

    @property
    def finish(self) -> date:
        """The day on which the last flight ends; today, if none is ahead."""
        ends = (day + self.asked[key].duration for key, day in self.solved.launches.items())
        return self.day(max(0, *ends, 0))

    def day(self, offset: int) -> date:
        """Return the day `offset` days from today."""
        return self.programme.today + timedelta(days=offset)

    def lift_off(self, key: str) -> date:
        """Return the day on which a mission or test flight lifts off."""
        return self.day(self.solved.launches[key])


def schedule(programme: Programme, flying: Flying | None = None) -> Schedule:
    """Solve a programme; ScenarioError where a scenario cannot be flown or nothing fits.

    Days of `fly_windows` that are not known count as windows. With `flying` those that launches
    are planned on are flown, and all is solved anew until each lifts off on a day that closes: no
    other day can be better, for none that counts as one is left out. `flying` is told what is
    flown, and of its days how many, of how many.
    """
    while True:
        asked = launchings(programme)
        found = Schedule(programme, asked, solve(programme, asked), flying)
        if flying is None or not (unflown := found.unflown):
            return found
        for key in unflown:
            _fly(found, key, flying)


def _fly(found: Schedule, key: str, flying: Flying) -> None:
    scenario, day = found.programme.scenarios[key].scenario, found.lift_off(key)
    what = f"{found.programme.title(key)}, windows from {day}"
    flying(0, STRETCH, what)
    days = min(STRETCH, (LAST_DAY - day).days + 1)
    fly_days(scenario, day, days=days, done=lambda count, total: flying(count, total, what))


def windows(found: Schedule) -> tuple[MissionWindow, ...]:
    """Return the windows of all launches ahead, in order of time within each."""
    return tuple(
        MissionWindow(key, a, b, a.date() <= found.lift_off(key) <= b.date())
        for key, each in found.asked.items()
        if not each.flown
        for a, b in windows_of(found.programme, key)
    )


def events(found: Schedule) -> tuple[DatedEvent, ...]:
    """Return the dated events: of flights under way all that is flown, of others both ends."""
    listed: list[DatedEvent] = []
    for key, each in found.asked.items():
        day = found.solved.launches[key]
        if day + each.duration <= 0:
            continue  # over
        listed += (_timeline(found, key) if each.flown else []) or [
            *_ahead(found, each, day),
            DatedEvent(key, "lift-off", _morning(found, key, day)),
            DatedEvent(key, "landing", _morning(found, key, day + each.duration)),
        ]
    return tuple(sorted(listed, key=lambda event: event.when))


def _ahead(found: Schedule, each: Launching, day: int) -> list[DatedEvent]:
    """Return the lift-offs of ships that go ahead, to the day."""
    return [
        DatedEvent(
            each.key,
            f"{plain(x.ship)}: lift-off",
            datetime.combine(found.day(day - x.ahead), time(), timezone.utc),
            x.ship,
        )
        for x in each.lift_offs
        if x.ship
    ]


def _timeline(found: Schedule, key: str) -> list[DatedEvent]:
    """Return what happens on a flight under way; nothing where it cannot be flown on its day."""
    if key not in found.programme.scenarios:
        return []
    try:
        flight = flown(found.programme.scenarios[key].scenario, found.lift_off(key)).flight
    except ScenarioError:
        return []
    if not flight.dated:
        return []
    return [DatedEvent(key, x.event, flight.utc(x.elapsed)) for x in flight.every_moment]


def _morning(found: Schedule, key: str, day: int) -> datetime:
    """Return midnight of a day, or when the window that it lies in opens."""
    when = found.day(day)
    opens = (a for a, _ in windows_of(found.programme, key) if a.date() == when)
    return next(opens, datetime.combine(when, time(), timezone.utc))
