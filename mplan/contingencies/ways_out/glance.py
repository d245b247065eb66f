"""A glance at a mission's ways out: one look in the middle of each stretch, for who has no time.

It tells of gaps that it happens to see, and proves nothing of the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from mplan.contingencies.ways_out.cells import TimeCell, cabins_of, cells
from mplan.contingencies.ways_out.coverage import WaysGap
from mplan.contingencies.ways_out.failures import FAILURES, FailureName
from mplan.contingencies.ways_out.looks import CLOSED, WaysLook, look
from mplan.contingencies.ways_out.point import CabinPoint, Stretch
from mplan.flight.record import Flight

# What people know ways out of already, or that is over in minutes.
LEFT_ASIDE: tuple[Stretch, ...] = ("pad", "climb", "Earth orbit", "entry")


def glance(flight: Flight) -> tuple[WaysLook, ...]:
    """Return one look at each stretch beyond Earth orbit, half-way through its longest part.

    A few tenths of a second. Nothing where a flight was not flown to its end.
    """
    return tuple(look(flight, *each) for each in places(flight))


def places(flight: Flight) -> tuple[tuple[str, float], ...]:
    """Return where a glance looks: the cabin and the time [s since lift-off] of each look."""
    if flight.ended is not None:
        return ()
    return tuple(
        (cabin, _middle(part)) for cabin in cabins_of(flight) for part in _longest(flight, cabin)
    )


def seen_closed(looks: Iterable[WaysLook]) -> Iterator[WaysGap]:
    """Yield what looks see closed: of each the failures that one way lacks alike, at its time.

    From when to when is not known of them: `begin` and `end` are the time of the look.
    """
    for each in looks:
        found: dict[str, list[FailureName]] = {}
        for failure in FAILURES:
            if each.seen[failure].kind == CLOSED:
                found.setdefault(each.seen[failure].reason, []).append(failure)
        for reason, failures in found.items():
            nearest = each.seen[failures[0]].way
            at = each.elapsed
            yield WaysGap(each.cabin, tuple(failures), at, at, reason, nearest)


def _longest(flight: Flight, cabin: str) -> list[TimeCell]:
    """Return the longest cell of each stretch of a cabin, in the order of the stretches."""

    def stretch(cell: TimeCell) -> Stretch:
        return CabinPoint(flight, cabin, _middle(cell)).stretch

    runs = groupby(cells(flight, (cabin,)), key=stretch)
    found: dict[Stretch, TimeCell] = {}
    for name, run in runs:
        longest = max(run, key=lambda cell: cell.end - cell.begin)
        kept = found.get(name)
        if kept is None or longest.end - longest.begin > kept.end - kept.begin:
            found[name] = longest
    return [cell for name, cell in found.items() if name not in LEFT_ASIDE]


def _middle(cell: TimeCell) -> float:
    return (cell.begin + cell.end) / 2.0
