"""Which settings are flown: each lever alone at all its stops, and two at once at some of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, product
from typing import NamedTuple

from mplan.plan import Plan
from mplan.report.what_if import levers
from mplan.report.what_if.levers import Lever
from mplan.studies.what_if import Changes

MOST_FLIGHTS = 70  # of a report, where nobody asks for another number
# Stops on each side of the plan, and how many of these are flown with those of another lever.
RICHNESS = ((5, 4), (5, 3), (5, 2), (4, 2), (4, 1), (3, 1), (2, 1), (2, 0), (1, 0))

Key = tuple[int, ...]  # the stop of each lever


class Settings(NamedTuple):
    """What can be set, and the settings that are flown beside the plan's own."""

    levers: tuple[Lever, ...]
    flown: tuple[Key, ...]

    @property
    def home(self) -> Key:
        """The plan's own setting."""
        return tuple(each.home for each in self.levers)

    def changes(self, key: Key) -> Changes:
        """Return what a setting changes of the plan's scenario."""
        moved = zip(self.levers, key, strict=True)
        return {
            name: value
            for lever, stop in moved
            if stop != lever.home
            for name, value in lever.stops[stop].changes.items()
        }


def chosen(plan: Plan, most: int = MOST_FLIGHTS) -> Settings:
    """Return the richest settings that take at most so many flights; none where even few do."""
    for stops, shared in RICHNESS:
        found = levers.of(plan, stops)
        flown = tuple(_flown(found, shared))
        if len(flown) <= most:
            return Settings(found, flown)
    return Settings((), ())


def _flown(found: Sequence[Lever], shared: int) -> Iterator[Key]:
    home = [each.home for each in found]
    for i, lever in enumerate(found):
        yield from (_set(home, {i: x}) for x in range(len(lever.stops)) if x != lever.home)
    for (i, one), (j, other) in combinations(enumerate(found), 2):
        for x, y in product(one.levels(shared), other.levels(shared)):
            yield _set(home, {i: x, j: y})


def _set(home: Sequence[int], moved: dict[int, int]) -> Key:
    return tuple(moved.get(i, stop) for i, stop in enumerate(home))
