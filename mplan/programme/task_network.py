"""Tasks as they are collected, and what the critical path method says of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta

from mplan.programme import network
from mplan.programme.entries import Task, TaskKind
from mplan.programme.launching import Launching
from mplan.programme.programme import Programme
from mplan.programme.searching.solving import SolvedDays

TAILS = ("turnaround", "recovery")


@dataclass
class TaskNetwork:
    """Tasks as they are collected: days from today, links finish to start, other lags by pair."""

    programme: Programme
    titles: dict[str, tuple[str, TaskKind, str | None, str | None, str | None]] = field(
        default_factory=dict
    )
    begins: dict[str, int] = field(default_factory=dict)
    takes: dict[str, int] = field(default_factory=dict)
    after: dict[str, tuple[str, ...]] = field(default_factory=dict)
    lags: dict[tuple[str, str], int] = field(default_factory=dict)
    stated: set[str] = field(default_factory=set)
    releases: dict[str, int] = field(default_factory=dict)  # no earlier, whatever comes before

    def add(
        self,
        key: str,
        kind: TaskKind,
        name: str,
        begins: int,
        takes: int,
        after: tuple[str, ...] = (),
        *,
        mission: str | None = None,
        resource: str | None = None,
        element: str | None = None,
        stated: bool = False,
    ) -> str:
        """Note a task and return its key; one that takes no time is left out, its key ""."""
        if takes <= 0:
            return ""
        self.titles[key] = (name, kind, mission, resource, element)
        self.begins[key], self.takes[key] = begins, takes
        self.after[key] = tuple(dict.fromkeys(x for x in after if x in self.titles))
        if stated:
            self.stated.add(key)
        return key

    def link(self, earlier: str, later: str, lag: int | None = None) -> None:
        """Let one task follow another: once it ends, or `lag` days after it begins."""
        if not earlier or not later or earlier in self.after[later]:
            return
        self.after[later] += (earlier,)
        if lag is not None:
            self.lags[earlier, later] = lag

    def floated(self, asked: dict[str, Launching], solved: SolvedDays) -> tuple[Task, ...]:
        """Return the tasks with their floats, in the order of their beginnings."""
        flights = {
            f"flight:{key}": each for key, each in asked.items() if f"flight:{key}" in self.titles
        }
        if not self.titles:
            return ()
        bounds = {key: self._bound(key, each, flights) for key, each in flights.items()}
        fixed = {
            key for key, x in flights.items() if x.day is not None and x.key not in solved.freed
        } | self.stated
        waiting = {key for key, each in flights.items() if key in fixed or each.windows}
        releases = self.releases | {key: self.begins[key] for key in waiting | self.stated}

        def held(key: str, start: int) -> int:
            if key in fixed:
                return self.begins[key]
            return flights[key].open_until(start) if key in flights else start

        early = network.earliest_starts(self.takes, self.after, lags=self.lags, releases=releases)
        end = max(self.begins[key] + days for key, days in self.takes.items())
        late = network.latest_starts(
            self.takes, self.after, end, lags=self.lags, ends=bounds, held=held
        )
        ordered = sorted(self.begins, key=lambda key: (self.begins[key], key))
        return tuple(self._task(key, early[key], late[key]) for key in ordered)

    def _bound(self, key: str, each: Launching, flights: dict[str, Launching]) -> int:
        """Return when a flight may end at the latest: its deadline counts if it is kept."""
        finish = max(self.begins[x] + self.takes[x] for x in flights)
        if each.deadline is not None and self.begins[key] <= each.deadline:
            return min(finish, each.deadline + each.duration)
        return finish

    def _task(self, key: str, early: int, late: int) -> Task:
        name, kind, mission, resource, element = self.titles[key]
        begins = self.programme.today + timedelta(days=self.begins[key])
        ends = begins + timedelta(days=self.takes[key])
        # What follows the last flights delays none, though it may end after them.
        followed = any(key in before for before in self.after.values())
        critical = late <= early and key not in self.stated and (followed or kind not in TAILS)
        slip = float(max(0, late - self.begins[key]))
        return Task(
            key,
            name,
            kind,
            mission,
            resource,
            begins,
            ends,
            slip,
            critical,
            self.after[key],
            key in self.stated,
            element,
        )
