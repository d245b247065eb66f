"""One look at a cabin: of each failure whether a way leads home from there, and the best one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from math import inf
from typing import Literal, NamedTuple

from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.climbing import off_the_climb
from mplan.contingencies.ways_out.failures import FAILURES, FailureName
from mplan.contingencies.ways_out.limited import limited
from mplan.contingencies.ways_out.onward import gone_on
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.spare import Spare, spare
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.flight.unflyable import Unflyable

Kind = Literal["open", "closed", "not examined"]
OPEN: Kind = "open"
CLOSED: Kind = "closed"
NOT_EXAMINED: Kind = "not examined"
NOTHING = "there is no way home from there"


class WayLeft(NamedTuple):
    """What one failure leaves: the best `way` that is open, or the one that lacks least.

    The best is the one that is home soonest. `reason` says why it is closed or not examined;
    `spare` what an open answer has left before the last way closes.
    """

    kind: Kind
    way: WayOut | None = None
    reason: str = ""
    spare: Spare | None = None


class WaysLook(NamedTuple):
    """All failures of a `cabin`, `elapsed` [s] since lift-off."""

    cabin: str
    elapsed: float
    seen: Mapping[FailureName, WayLeft]

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """What each failure leaves, in the order of the failures."""
        return tuple(each.kind for each in self.seen.values())


def look(
    flight: Flight, cabin: str, elapsed: float, failures: tuple[FailureName, ...] = FAILURES
) -> WaysLook:
    """Return what each failure leaves of ways home at a time [s] since lift-off."""
    point = CabinPoint(flight, cabin, elapsed)
    known: dict[FailureName, WayLeft] = {}
    for each in failures:
        same = _same_as(point, each)
        known[each] = known[same] if same in known else _seen(point, each)
    return WaysLook(cabin, elapsed, {each: known[each] for each in failures})


def ways_at(point: CabinPoint, failure: FailureName) -> tuple[WayOut, ...]:
    """Return every way out at a point to its very end, open ones first, soonest home first.

    A way that ends docked to the ship goes on with the ship's. LookupError where the stretch is
    not examined, or what is asked there could not be flown.
    """
    with _told_of():
        ways = every.ways_out(point, failure) + every.ways_with_shelter(point, failure)
        found = [gone_on(limited(x, point, failure), point) for x in ways]
        if all(x.closed for x in found):
            sooner = every.ways_sooner(point, failure)
            found += [gone_on(limited(x, point, failure), point) for x in sooner]
        return tuple(sorted(found, key=_order))


def _seen(point: CabinPoint, failure: FailureName) -> WayLeft:
    try:
        best = _best_at(point, failure)
        if best is not None:
            return WayLeft(OPEN, best, spare=_spare(point, failure, best))
        ways = ways_at(point, failure)
    except LookupError as reason:
        return WayLeft(NOT_EXAMINED, None, str(reason))
    if not ways:
        return WayLeft(CLOSED, None, NOTHING)
    nearest = max(ways, key=_nearness)
    return WayLeft(CLOSED, nearest, nearest.reason)


def _spare(point: CabinPoint, failure: FailureName, best: WayOut) -> Spare:
    """Return what is left before the last way closes."""
    suits = inf
    if failure == "cabin leaks" and best.suited:
        suits = point.flight.scenario.aborts.suited_time - best.suited
    return spare(every.ways_out(point, failure), best, suits)


def _best_at(point: CabinPoint, failure: FailureName) -> WayOut | None:
    """Return the first of `ways_at` if it is open: what cannot be home sooner is not looked into.

    What keeps a shelter, or is home sooner for more, is looked into where nothing else is open.
    """
    with _told_of():
        for ways in (every.ways_out, every.ways_with_shelter, every.ways_sooner):
            best = _soonest(ways(point, failure), point, failure)
            if best is not None:
                return best
        return None


def _soonest(ways: Iterable[WayOut], point: CabinPoint, failure: FailureName) -> WayOut | None:
    """Return the soonest of ways home that is open to its very end: no sooner than it docks."""
    best: WayOut | None = None
    for way in sorted(ways, key=_order):
        if way.closed or (best is not None and _order(best) <= _order(way)):
            break
        whole = gone_on(limited(way, point, failure), point)
        if not whole.closed and (best is None or _order(whole) < _order(best)):
            best = whole
    return best


@contextmanager
def _told_of() -> Iterator[None]:
    """Let what could not be flown be told as not examined: no answer is no way out, and no gap."""
    try:
        yield
    except (ArithmeticError, Unflyable) as problem:
        raise LookupError(f"what was tried could not be flown: {problem}") from problem


def _same_as(point: CabinPoint, failure: FailureName) -> FailureName:
    """Return the failure that comes to the same at a point: of a lone engine, or of none ahead."""
    burn = point.next_burn
    if burn is None and failure in ("main engine lost", "one engine lost"):
        return "called off"
    if burn is not None and failure == "one engine lost":
        engine = burn.at_ignition.scenario.elements[burn.element].engines[burn.engine]
        alone = engine.count == 1 and not off_the_climb.stands_beside(point)
        return "main engine lost" if alone else failure
    return failure


def _nearness(way: WayOut) -> tuple[bool, float]:
    """Return what puts a closed way before others: all its burns can be made, or they lack less."""
    return way.left is not None, float("-inf") if way.margin is None else way.margin


def _order(way: WayOut) -> tuple[bool, float]:
    return bool(way.closed), float("inf") if way.home is None else way.home
