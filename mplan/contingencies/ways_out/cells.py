"""A mission cut into cells within which nothing happens at once: looked at one by one.

A cell ends where an event does, a burn begins or is over, or the Moon is passed. Within it looks
are a step apart, and where two of them differ the edge is found by halving to a stated fineness.
Where what is left at two looks could be gone between them (`spare.longest_gap`) there is a look in
the middle, until no gap of more than an eighth of a step can lie there, or some looks are spent.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.failures import FAILURES, FailureName
from mplan.contingencies.ways_out.looks import WaysLook, look
from mplan.contingencies.ways_out.point import CabinPoint, Stretch
from mplan.contingencies.ways_out.spare import TimedSpare, longest_gap
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR, MINUTE

# s, the longest step between looks
STEPS: dict[Stretch, float] = {
    "pad": 1.0 * HOUR,
    "climb": 6.0,
    "Earth orbit": 20.0 * MINUTE,
    "to the Moon": 4.0 * HOUR,
    "lunar orbit": 3.0 * HOUR,
    "way down": 5.0 * MINUTE,
    "on the Moon": 2.0 * HOUR,
    "way up": 15.0 * MINUTE,
    "way home": 6.0 * HOUR,
    "entry": 1.0 * MINUTE,
}
STOPS = 8  # looks at a burn while it lasts, at least
SMALL = 30.0  # m/s: a burn that gives less is looked at at its ends (our choice)
MANY = 16  # looks at a cell beyond which steps grow with its length: a wait is alike all along
FINENESS = 60.0  # s, to which an edge is found; a fiftieth of a short cell
FINEST = 1.0  # s
AT_ONCE = 8  # steps that are looked at in one go
BEFORE = 1.0  # s before the end of a cell that its last look is
HIDDEN = 8  # part of a step that a gap between looks may last unseen (our choice)
CLOSER = 8  # looks more, at the most, that a cell is given for that (our choice)


class TimeCell(NamedTuple):
    """A `cabin` between two times [s since lift-off], where looks are `step` [s] apart."""

    cabin: str
    begin: float
    end: float
    step: float

    @property
    def fineness(self) -> float:
        """How close an edge is found [s]."""
        return min(FINENESS, max(FINEST, self.step / 10.0))

    @property
    def hidden(self) -> float:
        """How long a gap may be that is not looked for between two looks [s]."""
        return max(self.fineness, self.step / HIDDEN)


def cells(flight: Flight, cabins: tuple[str, ...] = ()) -> tuple[TimeCell, ...]:
    """Return the cells of a flight, cabin by cabin in order of time; those of `cabins` if given."""
    named = cabins or cabins_of(flight)
    return tuple(part for name in named for whole in _whole(flight, name) for part in _cut(whole))


def cabins_of(flight: Flight) -> tuple[str, ...]:
    """Return the cabins that people are in at some time, in the order in which they are."""
    lived = (name for x in flight.passages for name, crew in x.before.crew.items() if crew)
    return tuple(dict.fromkeys(lived))


def burns_in_space(flight: Flight, cell: TimeCell) -> bool:
    """Tell whether a burn of the cabin's craft is on in a cell, that of the climb left aside."""
    point = CabinPoint(flight, cell.cabin, (cell.begin + cell.end) / 2.0)
    return point.burning is not None and point.stretch != "climb"


def looked_over(
    flight: Flight, cell: TimeCell, failures: tuple[FailureName, ...] = FAILURES
) -> tuple[WaysLook, ...]:
    """Return the looks at a cell in order of time, those that find its edges among them."""
    last = max(cell.begin, cell.end - BEFORE)
    times = np.linspace(cell.begin, last, max(1, round((last - cell.begin) / cell.step)) + 1)
    looks = [look(flight, cell.cabin, float(t), failures) for t in dict.fromkeys(times)]
    found = looks[:1]
    for each in looks[1:]:
        found += [*_between(flight, cell, failures, found[-1], each), each]
    return _closer(flight, cell, failures, found)


def _closer(
    flight: Flight, cell: TimeCell, failures: tuple[FailureName, ...], looks: list[WaysLook]
) -> tuple[WaysLook, ...]:
    """Return looks with more of them where a gap may hide, the longest first."""
    for _ in range(CLOSER):
        gaps = may_hide(looks)
        if not gaps or max(gaps) <= cell.hidden:
            break
        i = gaps.index(max(gaps))
        one, then = looks[i], looks[i + 1]
        middle = look(flight, cell.cabin, (one.elapsed + then.elapsed) / 2.0, failures)
        before = _between(flight, cell, failures, one, middle)
        after = _between(flight, cell, failures, middle, then)
        looks[i + 1 : i + 1] = [*before, middle, *after]
    return tuple(looks)


def may_hide(looks: Sequence[WaysLook]) -> list[float]:
    """Return how long [s] a gap of any failure may be between each two looks at a cell."""
    gaps = [0.0] * (len(looks) - 1)
    for failure in looks[0].seen if looks else ():
        left = [TimedSpare(x.elapsed, x.seen[failure].spare) for x in looks]
        gaps = [max(gap, longest_gap(left, i)) for i, gap in enumerate(gaps)]
    return gaps


def _between(
    flight: Flight, cell: TimeCell, failures: tuple[FailureName, ...], one: WaysLook, then: WaysLook
) -> Iterator[WaysLook]:
    """Yield looks between two that differ, until no two that differ are further apart than asked.

    Of failures that change at several places between them, each place is found.
    """
    if one.kinds == then.kinds or then.elapsed - one.elapsed <= cell.fineness:
        return
    middle = look(flight, cell.cabin, (one.elapsed + then.elapsed) / 2.0, failures)
    yield from _between(flight, cell, failures, one, middle)
    yield middle
    yield from _between(flight, cell, failures, middle, then)


def _whole(flight: Flight, cabin: str) -> Iterator[TimeCell]:
    """Yield the cells of a cabin, however long."""
    edges = _edges(flight)
    for passage in flight.passages:
        begin, end = passage.before.elapsed, passage.after.elapsed
        if not passage.before.crew.get(cabin) or end <= begin:
            continue
        inside = [begin, *(t for t in edges if begin < t < end), end]
        for one, then in pairwise(inside):
            if then - one > FINEST:
                middle = CabinPoint(flight, cabin, (one + then) / 2.0)  # at lift-off it is the pad
                yield TimeCell(cabin, one, then, _step(middle, then - one))


def _edges(flight: Flight) -> list[float]:
    """Return the times at which burns begin and are over, and the Moon is passed."""
    burns = [x for x in flight.burns if x.lit]
    found = {t for x in burns for t in (x.elapsed, x.elapsed + x.duration)}
    if flight.end.departing is not None:
        found.add(flight.end.outbound.perilune.t - flight.end.lift_off)
    return sorted(found)


def _step(point: CabinPoint, length: float) -> float:
    """Return the step in a cell: while its own burn lasts a share of it, else its stretch's."""
    most = STEPS[point.stretch]
    burn = point.burning
    if burn is not None and burn.required < SMALL:
        return min(most, length)
    if burn is not None and point.stretch != "climb":
        return min(most, length / STOPS)
    if point.stretch == "climb":
        return min(most, length)
    return min(max(most, length / MANY), length)


def _cut(cell: TimeCell) -> Iterator[TimeCell]:
    """Yield a cell in parts of a few steps each, to be looked at by several."""
    length = cell.end - cell.begin
    count = max(1, int(np.ceil(length / (AT_ONCE * cell.step) - 1e-9)))
    edges = np.linspace(cell.begin, cell.end, count + 1)
    for one, then in pairwise(edges):
        yield cell._replace(begin=float(one), end=float(then))
