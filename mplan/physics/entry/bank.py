"""The bank angle that brings an entry down at its target, if any does within its limits.

The range grows with the share of lift that points up, until the path skips out; one over the
range is nearly straight in that share, and zero for a skip.
"""

from __future__ import annotations

from collections.abc import Callable

from mplan.physics.entry.entry_flight import (
    EntryFlight,
    EntrySteering,
    EntryVehicle,
    Six,
    fly_entry,
)

NEAR = 500.0  # m of range
CLOSE = 2e-4  # of the share of lift that points up, or rad
TRIES = 24
WITHIN = 12  # banks looked at for one within the load limit


# The kinds of steering, in the order in which they are tried: all lift up until pull-out, the bank
# that is looked for all the way, all lift down until pull-out. The last holds shallow entries in.
KINDS = (EntrySteering(0.0), EntrySteering(0.0, pull_out=False), EntrySteering(0.0, first=-1.0))


def aim_entry(
    state: Six, vehicle: EntryVehicle, stop: float, wanted: float, limit: float
) -> EntryFlight:
    """Return the entry that comes down at a range `wanted` [m], above `stop` [m].

    All lift up until pull-out and then one bank angle; where that exceeds the load
    `limit` [m/s2] or cannot get there, the same bank all the way, or all lift down until pull-out.
    Where none serves, the one that comes down within the limit nearest to the range; else the one
    with the least load.
    """
    tried = reach(state, vehicle, stop, wanted, limit)
    if _serves(tried[-1], wanted, limit):
        return tried[-1]
    tried += [end for kind in KINDS for end in within(state, vehicle, stop, limit, kind)]
    return min(tried, key=lambda each: _worth(each, wanted, limit))


def reach(
    state: Six, vehicle: EntryVehicle, stop: float, wanted: float, limit: float
) -> list[EntryFlight]:
    """Return the entries of the kinds tried for a range `wanted` [m], the most suitable one last.

    No further kind is tried once one comes down there within the load `limit` [m/s2].
    """
    tried: list[EntryFlight] = []
    for kind in KINDS:
        tried.append(reach_range(state, vehicle, stop, wanted, kind))
        if _serves(tried[-1], wanted, limit):
            break
    return sorted(tried, key=lambda each: _worth(each, wanted, limit), reverse=True)


def reach_range(
    state: Six, vehicle: EntryVehicle, stop: float, wanted: float, kind: EntrySteering = KINDS[0]
) -> EntryFlight:
    """Return the entry of one kind of steering that comes nearest to a range `wanted` [m]."""

    def flown(up: float) -> EntryFlight:
        return fly_entry(state, vehicle, kind._replace(up=up), stop)

    def short(each: EntryFlight) -> float:
        return 1.0 / each.range - 1.0 / wanted

    return crossing(flown, short, lambda each: abs(each.range - wanted) < NEAR, (-1.0, 1.0))[1]


def within(
    state: Six, vehicle: EntryVehicle, stop: float, limit: float, kind: EntrySteering
) -> tuple[EntryFlight, ...]:
    """Return the shortest and the longest entry inside a load `limit` [m/s2] that do not skip.

    None at all where all lift down skips; the one with the least load alone where none of a dozen
    banks keeps the limit: short entries plunge, the longest fall in steeply from a high arc.
    """

    def flown(up: float) -> EntryFlight:
        return fly_entry(state, vehicle, kind._replace(up=up), stop)

    longest = _last(flown, lambda each: each.end == "down", -1.0, 1.0)
    if longest is None:
        return ()
    spread = _spread(flown, longest)
    gentle = next((each for each in spread if each.peak.load <= limit), None)
    if gentle is None:
        return (min(spread, key=lambda each: each.peak.load),)
    begin, tops = gentle.steering.up, (-1.0, longest.steering.up)
    ends = (_last(flown, lambda each: each.peak.load <= limit, begin, end) for end in tops)
    return tuple(end for end in ends if end is not None)


def _spread(flown: Callable[[float], EntryFlight], longest: EntryFlight) -> list[EntryFlight]:
    """Return entries of a dozen banks, from the longest that does not skip to all lift down."""
    top = longest.steering.up
    return [longest, *(flown(top - (top + 1.0) * i / WITHIN) for i in range(1, WITHIN))]


def _serves(flown: EntryFlight, wanted: float, limit: float) -> bool:
    return abs(flown.range - wanted) < NEAR and flown.peak.load <= limit


def _worth(flown: EntryFlight, wanted: float, limit: float) -> tuple[bool, float, float]:
    """Rank an entry: that it comes down, how far above the limit, how far off the range."""
    excess = max(flown.peak.load - limit, 0.0)
    return flown.end != "down", excess, abs(flown.range - wanted)


def crossing(
    flown: Callable[[float], EntryFlight],
    value: Callable[[EntryFlight], float],
    done: Callable[[EntryFlight], bool],
    ends: tuple[float, float],
) -> tuple[float, EntryFlight]:
    """Return where between two `ends` the `value` of a flight falls through zero, and the flight.

    By false position, the end that stays being halved in weight (Illinois). Where it does not
    change sign, the end nearer to that.
    """
    a, b = ends
    low, high = flown(a), flown(b)
    f, g = value(low), value(high)
    if f <= 0.0 or g >= 0.0:
        return (a, low) if f <= 0.0 else (b, high)
    last, at, now = 0, a, low
    for _ in range(TRIES):
        at = (a * g - b * f) / (g - f)
        now = flown(at)
        h = value(now)
        if done(now) or abs(b - a) < CLOSE:
            break
        if h > 0.0:
            a, f, g, last = at, h, g / 2.0 if last > 0 else g, 1
        else:
            b, g, f, last = at, h, f / 2.0 if last < 0 else f, -1
    return at, now


def _last(
    flown: Callable[[float], EntryFlight],
    good: Callable[[EntryFlight], bool],
    begin: float,
    end: float,
) -> EntryFlight | None:
    """Return the last good flight on the way from a bank share to another, by halving; or None."""
    there = flown(end)
    if good(there):
        return there
    best = flown(begin)
    if not good(best):
        return None
    while abs(end - begin) > CLOSE:
        middle = (begin + end) / 2.0
        now = flown(middle)
        if good(now):
            begin, best = middle, now
        else:
            end = middle
    return best
