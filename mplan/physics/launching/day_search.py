"""Open intervals of a day's launches, flight by flight all along it.

A two-body guess of the azimuth over the day says where to look. There arcs are flown at moments
`STEP` apart, closer where the azimuth turns fast, and the ends of the intervals are met by further
arcs. An interval ends where the azimuth reaches a limit, where no arc is found, or where the side
changes on which the Moon is met: there the next begins.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from itertools import groupby
from math import ceil, pi
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import launch_time, outbound
from mplan.physics.arcs.launch_time import GuessedLaunch, LaunchGuess
from mplan.physics.arcs.outbound import LunarPassage, Outbound
from mplan.physics.arcs.parking import Parking
from mplan.physics.launching.interval import SHORTEST, Interval

STEP = 30.0 * c.MINUTE  # between flights
LOOK = 10.0 * c.MINUTE  # between two-body guesses
REACH = 12.0 * c.HOUR  # how far beyond the day an interval is followed
BRIEFEST = 30.0 * c.HOUR  # from lift-off to a fixed arrival: nobody can launch so late
ASTRAY = 15.0 * c.DEG  # how far a guess may be out, and
LATE = 25.0 * c.MINUTE  # by how much too early or late where the azimuth turns fast
FAST = 12.0 * c.DEG  # from flight to flight: more and one is flown in the middle
FOLLOWED = 3.0 * c.DEG  # from flight to flight where azimuths are followed
SLIGHT = 2.0 * c.DEG  # where the azimuth turns back so near to a limit, one is flown there


class _Sample(NamedTuple):
    """A moment [TDB s] and the flight that lifts off then; None where no arc was found."""

    t: float
    flown: Outbound | None


class DaySearch:
    """The flights of a day in one sense round: eastward or westward."""

    def __init__(
        self,
        parking: Parking,
        limits: tuple[float, float],
        passage: LunarPassage,
        *,
        eastward: bool,
    ) -> None:
        """Take what one is launched into, between which azimuths [rad], and what it comes to."""
        self.parking, self.passage, self.eastward = parking, passage, eastward
        self.low, self.high = limits
        self.last: Outbound | None = None
        self.guesses: dict[float, LaunchGuess] = {}

    def stretches(self) -> Iterator[tuple[float, float]]:
        """Yield beginnings and ends of what is to be flown: where the guess lies near the limits.

        Only those that reach into the day.
        """
        first = self.parking.t - REACH
        times = [first + i * LOOK for i in range(ceil((c.DAY + 2.0 * REACH) / LOOK) + 1)]
        times = [t for t in times if self.passage.flight_time(t) > BRIEFEST]
        begin: float | None = None
        end = 0.0
        for t in self._near_times(times):
            if begin is None or t - LATE > end:
                yield from self._reaching(begin, end)
                begin = max(first, t - LATE)
            end = min(times[-1], t + LATE)
        yield from self._reaching(begin, end)

    def _near_times(self, times: list[float]) -> list[float]:
        """Return the times near the limits: those of the day, and those that they go on into."""
        begins, ends = self.parking.t, self.parking.t + c.DAY
        of_day = [i for i, t in enumerate(times) if t + LATE >= begins and t - LATE < ends]
        found = [i for i in of_day if self._is_near(times, i)]
        before = [*self._followed_by(times, found[0], -1)] if found else []
        after = [*self._followed_by(times, found[-1], 1)] if found else []
        return [times[i] for i in sorted({*before, *found, *after})]

    def _followed_by(self, times: list[float], last: int, step: int) -> Iterator[int]:
        """Yield what lies near the limits on from the `last`, up to a gap."""
        i = last + step
        while 0 <= i < len(times):
            early, late = sorted((times[i], times[last]))
            if late - LATE > early + LATE:
                return
            if self._is_near(times, i):
                last = i
                yield i
            i += step

    def _is_near(self, times: list[float], i: int) -> bool:
        here, *around = (self._guess(t).azimuth for t in (times[i], *times[max(0, i - 1) : i + 2]))
        # from one to the next it may pass the whole range
        return self._near(here) or any(abs(here - x) > FAST for x in around)

    def _reaching(self, begin: float | None, end: float) -> Iterator[tuple[float, float]]:
        if begin is not None and end >= self.parking.t and begin < self.parking.t + c.DAY:
            yield begin, end

    def _guess(self, t: float) -> LaunchGuess:
        if t not in self.guesses:
            guess = launch_time.guess_launch(self.parking, t, self.passage, eastward=self.eastward)
            self.guesses[t] = guess
        return self.guesses[t]

    def _near(self, azimuth: float) -> bool:
        middle, half = (self.low + self.high) / 2.0, (self.high - self.low) / 2.0
        off = abs((azimuth - middle + pi) % (2.0 * pi) - pi)
        return off < half + ASTRAY

    def intervals(self, begin: float, end: float) -> Iterator[Interval]:
        """Yield the intervals of a stretch."""
        samples = self._samples(begin, end)
        first = 0
        for is_open, group in groupby(samples, self._open):
            inside = list(group)
            after = first + len(inside)
            if is_open:
                before = self._end(inside[:2], samples[first - 1]) if first else []
                beyond = self._end(inside[-1:-3:-1], samples[after]) if after < len(samples) else []
                flights = [*before, *(x.flown for x in inside if x.flown), *beyond]
                yield from self._by_side(sorted(flights, key=lambda x: x.lift_off))
            first = after

    def _samples(self, begin: float, end: float) -> list[_Sample]:
        """Return flights all along a stretch, as close as the azimuth's turning asks for."""
        count = max(2, ceil((end - begin) / STEP))
        even = [self._at(begin + (end - begin) * i / count) for i in range(count + 1)]
        close = even[:1]
        for here in even[1:]:
            close += [*self._between(close[-1], here), here]
        threes = zip(close, close[1:], close[2:], strict=False)
        turning = [each for three in threes for each in self._turning(*three)]
        return sorted([*close, *turning], key=lambda x: x.t)

    def _between(self, a: _Sample, b: _Sample) -> list[_Sample]:
        """Return the flights required between two, so that no limit is passed unseen."""
        if b.t - a.t < SHORTEST or not self._passes(a, b):
            return []
        middle = self._across(a, b) or self._at((a.t + b.t) / 2.0)
        return [*self._between(a, middle), middle, *self._between(middle, b)]

    def _passes(self, a: _Sample, b: _Sample) -> bool:
        """Tell whether limits may be passed unseen between two flights."""
        if a.flown is None or b.flown is None:
            return a.flown is not b.flown
        low, high = sorted((a.flown.azimuth, b.flown.azimuth))
        if low >= self.high or high <= self.low:
            return False
        return high - low > FAST or not (self._open(a) or self._open(b))

    def _across(self, a: _Sample, b: _Sample) -> _Sample | None:
        """Return a flight in the middle of a range that two flights have on either side of it."""
        if a.flown is None or b.flown is None or self._open(a) or self._open(b):
            return None
        if abs(a.flown.azimuth - b.flown.azimuth) > FAST:
            return None
        there = self._along(a.flown, (self.low + self.high) / 2.0)
        if there is None or not a.t < there.lift_off < b.t:
            return None
        return _Sample(there.lift_off, there)

    def _turning(self, a: _Sample, b: _Sample, d: _Sample) -> list[_Sample]:
        """Return a flight where the azimuth turns back near a limit, from three on its way."""
        if a.flown is None or b.flown is None or d.flown is None:
            return []
        x, y, z = (each.flown.azimuth for each in (a, b, d) if each.flown)
        left, right = (y - x) / (b.t - a.t), (z - y) / (d.t - b.t)
        beside = min(abs(y - self.low), abs(y - self.high))
        if left * right >= 0.0 or beside > SLIGHT:
            return []
        bend = (right - left) / ((d.t - a.t) / 2.0)
        t = (a.t + b.t) / 2.0 - left / bend
        return [self._at(t)] if abs(t - b.t) > SHORTEST else []

    def _at(self, t: float) -> _Sample:
        """Fly at a moment, from the last flight's unknowns and what the guesses say of the way.

        Roughly: what is asked of it is its azimuth, and it is a start for others.
        """
        guess = self._guess(t)
        starts = [guess]
        if self.last is not None and abs(t - self.last.lift_off) < 2.0 * STEP:
            off = GuessedLaunch(self.last, self._guess(self.last.lift_off)).off
            starts.insert(0, launch_time.corrected(guess, self.parking, off))
        for start in starts:
            with suppress(ArithmeticError):
                self.last = launch_time.target_at_launch_time(
                    self.parking, t, self.passage, start=start, aim=launch_time.ROUGH
                )
                return _Sample(t, self.last)
        return _Sample(t, None)

    def _open(self, sample: _Sample) -> bool:
        return sample.flown is not None and self.low <= sample.flown.azimuth <= self.high

    def _end(self, inside: list[_Sample], outside: _Sample) -> list[Outbound]:
        """Return the flights from the last ones inside (the last first) to an interval's end."""
        here, before = inside[0], inside[-1]
        way = [] if _leaps(here, outside) else self._to_limit(here, before, outside)
        while not self._on_limit(way) and abs(outside.t - here.t) > SHORTEST:
            middle = self._at((here.t + outside.t) / 2.0)
            if self._open(middle):
                here, before = middle, here
            else:
                outside = middle
            if _leaps(here, outside):
                continue
            way = self._to_limit(here, before, outside)
        return way or [x.flown for x in (here,) if x.flown]

    def _to_limit(self, here: _Sample, before: _Sample, outside: _Sample) -> list[Outbound]:
        """Return the last flight inside and those on from it to the limit, as far as there are."""
        if here.flown is None or before.flown is None:
            return []
        if outside.flown is not None and abs(outside.flown.azimuth - here.flown.azimuth) < FAST:
            rising = outside.flown.azimuth > here.flown.azimuth
        else:
            rising = here.flown.azimuth > before.flown.azimuth
        return [here.flown, *self._followed(here.flown, self.high if rising else self.low)]

    def _on_limit(self, way: list[Outbound]) -> bool:
        return bool(way) and min(abs(way[-1].azimuth - x) for x in (self.low, self.high)) < 1e-6

    def _followed(self, near: Outbound, limit: float) -> Iterator[Outbound]:
        """Yield flights on along azimuths up to a limit, as far as there are.

        Where site and Moon stand opposite to each other every azimuth leads there within minutes,
        and at one moment more than one may.
        """
        count = ceil(abs(limit - near.azimuth) / FOLLOWED)
        for azimuth in np.linspace(near.azimuth, limit, count + 1)[1:].tolist():
            there = self._along(near, azimuth)
            if there is None or abs(there.lift_off - near.lift_off) > STEP:
                return
            yield there
            near = there

    def _along(self, near: Outbound, azimuth: float) -> Outbound | None:
        """Return the flight along an azimuth next to one that is near; None if it is not there."""
        orbit = replace(near.parking, site=replace(near.parking.site, azimuth=azimuth))
        start = outbound.unknowns_of(near, near.parking)
        start[1] += orbit.insertion_argument() - near.parking.insertion_argument()
        with suppress(ArithmeticError):
            return outbound.target_outbound(orbit, **self.passage._asdict(), start=start)
        return None

    def _by_side(self, flights: list[Outbound]) -> Iterator[Interval]:
        """Yield an interval's parts by side, their common ends found by halving."""
        part = flights[:1]
        for here in flights[1:]:
            if here.side != part[-1].side:
                last, first = self._change(part[-1], here)
                yield Interval((*part, last))
                part = [first]
            part.append(here)
        yield Interval(tuple(part))

    def _change(self, a: Outbound, b: Outbound) -> tuple[Outbound, Outbound]:
        """Return the last flight on the side of `a` and the first on that of `b`."""
        while b.lift_off - a.lift_off > SHORTEST:
            middle = self._at((a.lift_off + b.lift_off) / 2.0).flown
            if middle is None:
                break
            a, b = (middle, b) if middle.side == a.side else (a, middle)
        return a, b


def _leaps(a: _Sample, b: _Sample) -> bool:
    """Tell whether the coast before the injection leaps by a revolution between two flights."""
    if a.flown is None or b.flown is None:
        return False
    coasts = [x.injection - x.insertion for x in (a.flown, b.flown)]
    return abs(coasts[0] - coasts[1]) > c.HOUR
