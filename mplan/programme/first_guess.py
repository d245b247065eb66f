"""A schedule made launch by launch, next always the one that can go first: where a search begins.

It holds everything that the solver's model asks, but for what stated days make impossible.
"""

from __future__ import annotations

from mplan.programme.launching import Launching, end
from mplan.programme.production import units, whole_days
from mplan.programme.programme import Programme

_Span = tuple[int, int]


class FirstGuess:
    """Days of launches and rehearsals, found one after the other."""

    def __init__(self, programme: Programme, asked: dict[str, Launching]) -> None:
        """Place what is flown, then what is dated, then each time what can lift off first."""
        self.programme, self.asked = programme, asked
        self.taken: dict[tuple[str, str], list[_Span]] = {}
        self.launches: dict[str, int] = {}
        self.rehearsals: dict[str, int] = {}
        self.beginners: set[str] = set()
        self.drawn = dict.fromkeys(programme.elements, 0)
        users = {x: sum(x in each.elements for each in asked.values()) for x in programme.elements}
        self.ready = {x: [u.ready for u in units(programme, x, n)] for x, n in users.items()}
        dated = [x for x in asked.values() if x.day is not None]
        for each in sorted(dated, key=lambda x: (not x.flown, x.day)):
            self._drill(each, self._drills(each))
            self._place(each, each.day or 0)
        left = [x for x in asked.values() if x.day is None]
        while left:
            open_ = [x for x in left if all(y in self.launches for y in x.after)]
            found = [(self._first(x, self._drills(x)), i) for i, x in enumerate(open_)]
            day, index = min(found)
            each = open_[index]
            self._drill(each, self._drills(each))
            self._place(each, day)
            left.remove(each)

    @property
    def last(self) -> int:
        """When the last flight ends."""
        return max(day + self.asked[key].duration for key, day in self.launches.items())

    def _place(self, each: Launching, day: int) -> None:
        self.launches[each.key] = day
        for element in each.elements:
            self.drawn[element] += 1
        for kind, name in self._resources(each):
            self.taken.setdefault((kind, name), []).append(self._span(each, kind, day))
        if each.crew and self._training(each) == each.first_training and not each.flown:
            self.beginners.add(each.key)

    def _drills(self, each: Launching) -> dict[str, _Span]:
        """Return when the rehearsals of a launch can be held, one after the other."""
        found: dict[str, _Span] = {}
        start = 0
        for name, drill in self.programme.rehearsals.items():
            if drill.before == each.key and not each.flown:
                takes = whole_days(drill.duration)
                start = self._free("team", drill.control_team, start, takes)
                found[name] = start, start + takes
                start += takes
        return found

    def _drill(self, each: Launching, drills: dict[str, _Span]) -> None:
        for name, span in drills.items():
            self.rehearsals[name] = span[0]
            team = self.programme.rehearsals[name].control_team
            self.taken.setdefault(("team", team), []).append(span)

    def _first(self, each: Launching, drills: dict[str, _Span]) -> int:
        """Return the first day that everything placed so far allows."""
        day = each.earliest
        for element in each.elements:
            day = max(day, self.ready[element][self.drawn[element]] + each.lead(element))
        for earlier in each.after:
            day = max(day, self.launches[earlier] + self.asked[earlier].duration)
        day = max(day, *(stop for _, stop in drills.values()), 0)
        if each.crew:  # a crew flies in the order of placing
            before = [b for a, b in self.taken.get(("crew", each.crew), ())]
            day = max(day, max(before, default=0) + self._training(each))
        while True:
            later = _in_window(each, day)
            for kind, name in self._resources(each):
                a, b = self._span(each, kind, later)
                later += self._free(kind, name, a, b - a) - a
            if later == day:
                return day
            day = later

    def _free(self, kind: str, name: str, start: int, takes: int) -> int:
        """Return the first day from `start` on at which a resource is free for so long."""
        for a, b in sorted(self.taken.get((kind, name), ())):
            if a < start + takes and start < b:
                start = b
        return start

    def _resources(self, each: Launching) -> list[tuple[str, str]]:
        own = [("pad", each.pad), ("team", each.team)]
        return [*own, ("crew", each.crew)] if each.crew else own

    def _span(self, each: Launching, kind: str, day: int) -> _Span:
        lead = {"pad": each.stacking, "crew": self._training(each), "team": 0}[kind]
        return day - (0 if each.flown else lead), end(each, kind, day)

    def _training(self, each: Launching) -> int:
        first = ("crew", each.crew or "") not in self.taken
        return each.first_training if first else each.training


def _in_window(each: Launching, day: int) -> int:
    """Return the first day from `day` on in a window; past the last one, any."""
    for a, b in each.windows:
        if day <= b:
            return max(day, a)
    return day
