"""A schedule made launch by launch: each on the first day that what is placed before it leaves.

It holds everything that the solver's model asks, but for what stated days make impossible.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from mplan.programme.launching import Held, Launching
from mplan.programme.money import whole_days
from mplan.programme.production import units
from mplan.programme.programme import Programme
from mplan.programme.searching.measure import cost_of_day


@dataclass
class PlacedLaunches:
    """Days of launches and rehearsals, whose crew trains for the first time, and the measure."""

    launches: dict[str, int] = field(default_factory=dict)
    rehearsals: dict[str, int] = field(default_factory=dict)
    beginners: set[str] = field(default_factory=set)
    cost: int = 0


class Placing:
    """Places all launches of a programme, in one order or another."""

    def __init__(self, programme: Programme, asked: dict[str, Launching]) -> None:
        """Read off once what every order needs."""
        self.programme, self.asked = programme, asked
        users = {x: sum(len(y.drawn(x)) for y in asked.values()) for x in programme.elements}
        self.ready = {x: [u.ready for u in units(programme, x, n)] for x, n in users.items()}
        # What follows one another on a line is drawn in this order, the first needed first.
        self.leads = {
            key: [(x, [d.lead for d in each.drawn(x)]) for x in each.elements]
            for key, each in asked.items()
        }
        self.drills: dict[str, list[tuple[str, str, int]]] = {key: [] for key in asked}
        for name, drill in programme.rehearsals.items():
            if not asked[drill.before].flown:
                takes = whole_days(drill.duration)
                self.drills[drill.before].append((name, drill.control_team, takes))

    def placed(self, order: Mapping[str, float] | None = None) -> PlacedLaunches:
        """Return a schedule: what is flown and dated first, then always the first by `order`.

        Without an order the next is the one that can lift off first. None lifts off before what
        it comes after has ended.
        """
        return _Run(self).made(order)


class _Run:
    """One schedule while it is made."""

    def __init__(self, place: Placing) -> None:
        self.place, self.found = place, PlacedLaunches()
        self.taken: dict[tuple[str, str], list[tuple[int, int]]] = {}
        self.drawn = dict.fromkeys(place.ready, 0)

    def made(self, order: Mapping[str, float] | None) -> PlacedLaunches:
        asked = self.place.asked
        dated = [x for x in asked.values() if x.day is not None]
        for each in sorted(dated, key=lambda x: (not x.flown, x.day)):
            self._drilled(each)
            self._at(each, each.day or 0)
        left = [x for x in asked.values() if x.day is None]
        while left:
            open_ = [x for x in left if all(y in self.found.launches for y in x.after)]
            if order is None:
                # A rehearsal that is tried is not kept: only the one that goes first has it.
                each = min(open_, key=lambda x: self._first(x, self._drills(x)))
            else:
                each = min(open_, key=lambda x: order[x.key])
            day = self._first(each, self._drilled(each))
            self._at(each, day)
            left.remove(each)
        return self.found

    def _at(self, each: Launching, day: int) -> None:
        key = each.key
        training = self._training(each)
        if each.crew and training == each.first_training and not each.flown:
            self.found.beginners.add(key)
        self.found.launches[key] = day
        for element, leads in self.place.leads[key]:
            self.drawn[element] += len(leads)
        for held in each.spans(training):
            stretch = held.begins + day, held.ends + day
            self.taken.setdefault((held.kind, held.name), []).append(stretch)
        if not each.flown:
            self.found.cost += cost_of_day(each, day)
            for name, _, _ in self.place.drills[key]:
                self.found.cost += day - self.found.rehearsals[name]

    def _drills(self, each: Launching) -> list[tuple[str, str, int, int]]:
        """Return when the rehearsals of a launch can be held, one after the other."""
        found, start = [], 0
        for name, team, takes in self.place.drills[each.key]:
            start = self._free("team", team, start, takes)
            found.append((name, team, start, start + takes))
            start += takes
        return found

    def _drilled(self, each: Launching) -> list[tuple[str, str, int, int]]:
        """Place the rehearsals of a launch."""
        drills = self._drills(each)
        for name, team, start, stop in drills:
            self.found.rehearsals[name] = start
            self.taken.setdefault(("team", team), []).append((start, stop))
        return drills

    def _first(self, each: Launching, drills: list[tuple[str, str, int, int]]) -> int:
        """Return the first day that everything placed so far allows."""
        day = max(each.earliest, 0)
        for element, leads in self.place.leads[each.key]:
            ready, drawn = self.place.ready[element], self.drawn[element]
            for i, lead in enumerate(leads):
                day = max(day, ready[drawn + i] + lead)
        for earlier in each.after:
            day = max(day, self.found.launches[earlier] + self.place.asked[earlier].duration)
        for drill in drills:
            day = max(day, drill[3])
        training = self._training(each)
        if each.crew:  # a crew flies in the order of placing
            before = self.taken.get(("crew", each.crew), ())
            day = max([day, *(b + training for _, b in before)], default=day)
            day = max(day, training)
        spans = [x for x in each.spans(training) if (x.kind, x.name) in self.taken]
        while True:
            later = each.opens(day)
            for held in spans:
                later += self._waits(held, later)
            if later == day:
                return day
            day = later

    def _waits(self, held: Held, day: int) -> int:
        """Return how long a resource must still be waited for by who would lift off on `day`."""
        start = day + held.begins
        return self._free(held.kind, held.name, start, held.ends - held.begins) - start

    def _free(self, kind: str, name: str, start: int, takes: int) -> int:
        """Return the first day from `start` on at which a resource is free for so long."""
        for a, b in sorted(self.taken.get((kind, name), ())):
            if a < start + takes and start < b:
                start = b
        return start

    def _training(self, each: Launching) -> int:
        first = ("crew", each.crew or "") not in self.taken
        return each.first_training if first else each.training
