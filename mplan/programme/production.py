"""When units of an element are ready: from stock, under way, off its line at the stated rate."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from mplan.physics.constants import DAY
from mplan.programme.money import whole_days
from mplan.programme.programme import Programme


@dataclass(frozen=True)
class Unit:
    """A unit of an element; days are counted from today, `begins` is None for one in stock."""

    begins: int | None
    ready: int
    stated: bool  # in stock or under way


def engine_ready(programme: Programme, engine: str) -> int:
    """Return when the first set of an engine is on hand [d from today]."""
    each = programme.engines[engine]
    return sum(map(whole_days, (each.development, each.qualification, each.delivery)))


def line_opens(programme: Programme, element: str) -> int:
    """Return when the first unit can be begun: the element developed, its engines on hand."""
    each = programme.elements[element]
    engines = (engine_ready(programme, name) for name in each.engines)
    return max(whole_days(each.development), *engines, 0)


def spacing(programme: Programme, element: str, index: int) -> int:
    """Return how many days after the first unit, number 0, the line begins unit `index`."""
    return floor(index / (programme.elements[element].rate * DAY) + 1e-6)


def under_way_takes(programme: Programme, element: str) -> int:
    """Return how long a unit under way takes [d] from its first day to its last."""
    each = programme.elements[element]
    return max(1, whole_days(each.under_way_build_time or each.build_time))


def units(programme: Programme, element: str, wanted: int) -> list[Unit]:
    """Return the units that are ready first, in that order, the line working without a pause.

    Units under way leave the line free; an engine is on hand before a build begins.
    """
    each = programme.elements[element]
    takes, opens = whole_days(each.build_time), line_opens(programme, element)
    found = [Unit(None, 0, stated=True)] * min(each.stock, wanted)
    for day in each.under_way:
        ready = (day - programme.today).days
        begun = min(0, ready - under_way_takes(programme, element))
        found.append(Unit(begun, ready, stated=True))
    starts = [opens + spacing(programme, element, i) for i in range(wanted)]
    found += [Unit(start, start + takes, stated=False) for start in starts]
    return sorted(found, key=lambda unit: (unit.ready, not unit.stated))[:wanted]


def latest(programme: Programme, element: str, needed: list[int]) -> list[int]:
    """Return the latest days to begin units so that they are ready by the days `needed`, in order.

    The line keeps its rate: each is begun no less than its spacing before the next one.
    """
    takes = whole_days(programme.elements[element].build_time)
    apart = spacing(programme, element, 1)
    begins: list[int] = []
    for day in reversed(needed):
        latest_here = day - takes
        begins.insert(0, min(latest_here, begins[0] - apart) if begins else latest_here)
    return begins
