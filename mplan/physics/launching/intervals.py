"""When a launch along an allowed azimuth leads to the Moon: every interval of a day.

At any moment one plane holds the launch site and the Moon's place at arrival; flown one way round
or the other it gives two azimuths, half a turn apart. Most days are settled by the flights along
the limits of the azimuth (`limit_crossings`); where these do not tell all, the day is searched
flight by flight (`day_search`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from math import pi
from typing import get_args

from mplan.physics import constants as c
from mplan.physics.arcs.outbound import LunarPassage, Outbound, Side
from mplan.physics.arcs.parking import Parking
from mplan.physics.launching import limit_crossings
from mplan.physics.launching.day_search import ASTRAY, DaySearch
from mplan.physics.launching.interval import Interval


def open_intervals(
    parking: Parking,
    limits: tuple[float, float],
    passage: LunarPassage,
    known: Sequence[Outbound] = (),
) -> tuple[Interval, ...]:
    """Return the intervals that reach into the day which begins at `parking.t`, in order.

    `limits` [rad] are the least and greatest azimuth; they may be one. Flights about that day which
    are `known` already shorten the way. Intervals shorter than a minute may be missed where the
    azimuth turns back or fast. Ends at a limit are flights along it; those where the side changes
    are found to 1 s, on days that are searched flight by flight to a minute. There, those that
    reach out of the day are followed for half a day.
    """
    with suppress(ArithmeticError):
        return tuple(limit_crossings.between_limits(parking, limits, passage, known))
    found: list[Interval] = []
    for eastward in (True, False):
        if not eastward and limits[0] > ASTRAY and limits[1] < pi - ASTRAY:
            continue  # no way round by the west lies near
        search = DaySearch(parking, limits, passage, eastward=eastward)
        for begin, end in search.stretches():
            found += search.intervals(begin, end)
    day = parking.t, parking.t + c.DAY
    reaching = [x for x in found if x.closes.lift_off >= day[0] and x.opens.lift_off < day[1]]
    reaching.sort(key=lambda x: x.opens.lift_off)
    return tuple(sorted(_joined(reaching), key=lambda x: x.opens.lift_off))


def _joined(found: list[Interval]) -> Iterator[Interval]:
    """Yield intervals with those of one side as one that overlap."""
    for side in get_args(Side):
        run: list[Outbound] = []
        for each in (x for x in found if x.side == side):
            if run and each.opens.lift_off > run[-1].lift_off:
                yield Interval(tuple(run))
                run = []
            run = sorted([*run, *each.flights], key=lambda x: x.lift_off)
        if run:
            yield Interval(tuple(run))
