"""Open intervals of a day's launches from where the azimuth reaches its limits.

Along one azimuth the orbit's plane stands still over the site, and the turning Earth carries it
across the Moon's place at arrival twice a lunar day, once on each side; never where the Moon stands
further from the equator than the plane reaches. So the limits have at most four crossings a lunar
day, each found as any flight along a stated azimuth. From one to the next the azimuth stays within
the limits or beyond them. Flights in between confirm it, and tell where the side changes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise
from math import ceil, pi
from typing import NamedTuple, get_args

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import outbound
from mplan.physics.arcs.outbound import LunarPassage, Outbound, Side
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies.earth import true_equator_of_day
from mplan.physics.launching.interval import Interval
from mplan.physics.launching.moments import Moments, Unsettled
from mplan.physics.roots import highest, root
from mplan.physics.vectors import cross, unit

LATE = 25.0 * c.MINUTE  # by how much a two-body guess may be too early or late
SOONEST = 24.0 * c.HOUR  # a crossing comes again after 24.1 h to 25.6 h: that is looked for
BEFORE, AFTER = 26.0 * c.HOUR, 23.5 * c.HOUR  # from so long before it, or after
NARROW = 2.0 * c.DEG  # a range that is crossed within minutes
BESIDE = 1.0 * c.DEG  # from a limit, to tell on which side of it the flights before it lie
SLOW = 3.0 * c.MINUTE / c.DEG  # of lift-off an azimuth: the guess tells that side as well
LEAP = 0.05  # rad, from the place of insertion: an injection there may be a revolution on as well
QUICK_STEP = 3.0 * c.DEG  # from flight to flight where they come within minutes
APART = 2.0 * c.HOUR  # at most, between flights within an interval
STRIDE = 20.0 * c.DEG  # at most, between their azimuths: more and those between are followed
FOLLOWED = 6.0 * c.DEG  # from flight to flight where azimuths are followed
NEAR_TURN = c.MINUTE  # to twice this it is found where an azimuth turns back
SHARP = 0.5  # s, to which a change of side is found


class _Crossing(NamedTuple):
    """The flight along a limit, whether an interval opens with it, and whether in no time.

    A `quick` one is passed within minutes, where site and Moon stand opposite to each other.
    """

    flown: Outbound
    opens: bool
    quick: bool

    @property
    def t(self) -> float:
        return self.flown.lift_off


def between_limits(
    parking: Parking,
    limits: tuple[float, float],
    passage: LunarPassage,
    known: Sequence[Outbound] = (),
) -> list[Interval]:
    """Return the intervals that reach into the day which begins at `parking.t`, in order.

    `limits` [rad] are the least and greatest azimuth, eastward; flights about the day that are
    `known` show how far off guesses are. Raises Unsettled, or NoArc, where the crossings do not
    tell: in narrow ranges, for a fixed arrival, and on days on which the Moon stands about as far
    from the equator as the plane along a limit reaches.
    """
    low, high = limits
    if passage.arrival is not None or not 0.0 < low < high - NARROW < pi - NARROW:
        raise Unsettled("a range or passage whose crossings may not tell all")
    return list(_Crossings(parking, limits, passage, known).intervals())


class _Crossings:
    """The flights along the limits about a day."""

    def __init__(
        self,
        parking: Parking,
        limits: tuple[float, float],
        passage: LunarPassage,
        known: Sequence[Outbound],
    ) -> None:
        self.parking, self.limits, self.passage = parking, limits, passage
        self.known = list(known)
        self.moments = Moments(parking, limits, passage)

    def intervals(self) -> Iterator[Interval]:
        """Yield what lies between a crossing that opens and the one that closes."""
        begins, ends = self.parking.t, self.parking.t + c.DAY
        for here, after in pairwise(self._all()):
            if here.opens == after.opens:
                raise Unsettled("two crossings in one direction")
            if here.opens and after.t >= begins and here.t < ends:
                found = self._by_side(self._flights(here, after))
                yield from (x for x in found if _reaches(x, begins, ends))

    def _all(self) -> list[_Crossing]:
        """Return the crossings of the day in order, and what its first and last belong to."""
        begins, ends = self.parking.t, self.parking.t + c.DAY
        sides = get_args(Side)
        once = self._crossings([(x, side, begins - LATE) for x in self.limits for side in sides])
        once.sort(key=lambda x: x.t)
        found = list(once)
        for each in once:
            if each.t + SOONEST < ends or (found[-1].opens and found[-1].t < ends):
                found.append(self._again(each, AFTER))
        if found and not found[0].opens and found[0].t >= begins:
            found.insert(0, self._again(once[-1], -BEFORE))
        return sorted(found, key=lambda x: x.t)

    def _again(self, met: _Crossing, after: float) -> _Crossing:
        """Return the crossing as it comes a lunar day later or earlier."""
        found = self._crossings([(met.flown.azimuth, met.flown.side, met.t + after)])
        if not found:
            raise Unsettled("a crossing that does not come again")
        return found[0]

    def _crossings(self, asked: Sequence[tuple[float, Side, float]]) -> list[_Crossing]:
        """Return the first crossings of azimuths on a side after about `t`, where planes reach."""
        reaching = ((self._along(azimuth, t), side) for azimuth, side, t in asked)
        found = [(orbit, side, x) for orbit, side in reaching for x in self._starts(orbit, side)]
        orbits, sides, starts = zip(*found, strict=True) if found else ((), (), ())
        flights = outbound.target_outbounds(orbits, starts, self.passage, outbound.CLOSE)
        if any(x.side != side for x, side in zip(flights, sides, strict=True)):
            raise Unsettled("a crossing on the other side")
        self.known += flights
        return [self._crossing(x) for x in flights]

    def _starts(self, orbit: Parking, side: Side) -> list[np.ndarray]:
        """Return the unknowns to begin at, none where no plane reaches."""
        passage = self.passage
        guess = outbound.guess_outbound(orbit, passage.revolutions, passage.time_of_flight, side)
        beyond = outbound.beyond_moon(orbit, guess, passage)
        if abs(beyond) < outbound.GRAZING:
            raise Unsettled("a plane that just reaches the Moon")
        if beyond < 0.0:
            return []
        near = [x for x in self.known if x.side == side]
        if not near:
            return [guess]
        nearest = min(near, key=lambda x: abs(x.azimuth - orbit.site.azimuth))
        wait, argument, burn = outbound.beside(nearest, orbit, passage).tolist()
        return [np.array([wait, orbit.ahead(argument), burn])]

    def _crossing(self, flown: Outbound) -> _Crossing:
        opens, quick = self._sense(flown)
        furthest = min if opens else max
        return _Crossing(furthest(self._ways(flown), key=lambda x: x.lift_off), opens, quick)

    def _ways(self, flown: Outbound) -> list[Outbound]:
        """Return a flight, and with it the one a revolution on or back where that flies as well.

        That is so where the injection lies near the place of insertion.
        """
        ahead = _ahead(flown)
        if LEAP < ahead < 2.0 * pi - LEAP:
            return [flown]
        turn = 2.0 * pi if ahead <= LEAP else -2.0 * pi
        start = outbound.unknowns_of(flown, flown.parking) + np.array([0.0, turn, 0.0])
        again = self._flown(flown.parking, start)
        return [flown, again]

    def _along(self, azimuth: float, t: float) -> Parking:
        return replace(self.parking, t=t, site=replace(self.parking.site, azimuth=azimuth))

    def _sense(self, flown: Outbound) -> tuple[bool, bool]:
        """Tell whether flights a little within the limits lift off later, and whether at once."""
        inward = self._inward(flown) * BESIDE
        later = self._guessed_later(flown, inward)
        quick = abs(later) < SLOW * BESIDE
        if quick:  # there a guess does not tell later from earlier
            later = self._next(flown, flown.azimuth + inward).lift_off - flown.lift_off
        return later > 0.0, quick

    def _inward(self, flown: Outbound) -> float:
        return 1.0 if flown.azimuth < sum(self.limits) / 2.0 else -1.0

    def _guessed_later(self, flown: Outbound, inward: float) -> float:
        """Return how much later [s] a flight a little within the limits lifts off, by the guess."""
        passage = self.passage
        begin = flown.lift_off - c.DAY / 2.0
        here, there = (
            outbound.guess_outbound(
                self._along(azimuth, begin), passage.revolutions, passage.time_of_flight, flown.side
            )
            for azimuth in (flown.azimuth, flown.azimuth + inward)
        )
        return float(there[0] - here[0])

    def _next(self, near: Outbound, azimuth: float) -> Outbound:
        """Return the flight along an azimuth next to one that is near."""
        orbit = self._along(azimuth, near.parking.t)
        before = replace(orbit, t=near.lift_off - c.DAY / 2.0)  # guesses are of the next lift-off
        start = outbound.beside(near, before, self.passage)
        start[0] += before.t - orbit.t
        return self._flown(orbit, start)

    def _flown(self, orbit: Parking, start: np.ndarray) -> Outbound:
        aim = outbound.CLOSE
        return outbound.target_outbound(orbit, **self.passage._asdict(), start=start, aim=aim)

    def _flights(self, opening: _Crossing, closing: _Crossing) -> list[Outbound]:
        """Return flights from one crossing to another, all of them within the limits."""
        head, tail = self._away(opening), self._away(closing)[::-1]
        first, last = head[-1], tail[0]
        if first.lift_off >= last.lift_off:
            return [opening.flown, closing.flown]
        count = ceil((last.lift_off - first.lift_off) / APART)
        times = np.linspace(first.lift_off, last.lift_off, count + 1)[1:-1].tolist()
        flights = [first, *self.moments.between(times, first, last), last]
        found = [x for a, b in pairwise(flights) for x in (a, *self._followed(a, b))]
        return [*head[:-1], *found, *tail]

    def _away(self, met: _Crossing) -> list[Outbound]:
        """Return the flights from a crossing inward along azimuths, as long as they come quickly.

        There the azimuth tells one flight from the next, and not the moment.
        """
        flights, step = [met.flown], self._inward(met.flown) * QUICK_STEP
        while met.quick and self.limits[0] < flights[-1].azimuth + step < self.limits[1]:
            try:
                flights.append(self._next(flights[-1], flights[-1].azimuth + step))
            except ArithmeticError:
                break  # the azimuth turns back before
            if abs(flights[-1].lift_off - flights[-2].lift_off) > SLOW * QUICK_STEP / 3.0:
                break
        return flights

    def _followed(self, a: Outbound, b: Outbound) -> Iterator[Outbound]:
        """Yield flights between two of one side whose azimuths lie far apart."""
        count = ceil(abs(b.azimuth - a.azimuth) / FOLLOWED)
        if a.side != b.side or abs(b.azimuth - a.azimuth) < STRIDE:
            return
        near = a
        for azimuth in np.linspace(a.azimuth, b.azimuth, count + 1)[1:-1].tolist():
            there = self._next(near, azimuth)
            if not near.lift_off < there.lift_off < b.lift_off:
                raise Unsettled("an azimuth that leads out of the interval")
            yield there
            near = there

    def _by_side(self, flights: list[Outbound]) -> Iterator[Interval]:
        """Yield flights as one interval, or as two where the side changes."""
        changes = [(a, b) for a, b in pairwise(flights) if a.side != b.side]
        if len(changes) > 1:
            raise Unsettled("more than one change of side")
        for a, b in changes:
            last, first = self._change(a, b)
            flights = [*self._turning(_in_order([*flights, first]), first), last]
        parts = [tuple(part) for _, part in groupby(_in_order(flights), lambda x: x.side)]
        yield from (Interval(part) for part in parts)

    def _change(self, a: Outbound, b: Outbound) -> tuple[Outbound, Outbound]:
        """Return the last flight on the side of `a` and the first on that of `b`."""
        flown = {x.lift_off: x for x in (a, b)}

        def ascent(t: float) -> float:
            return _ascent(self.moments.among(flown, t))

        root(ascent, a.lift_off, b.lift_off, SHARP)
        last = max((x for x in flown.values() if x.side == a.side), key=lambda x: x.lift_off)
        first = min((x for x in flown.values() if x.side == b.side), key=lambda x: x.lift_off)
        return last, first

    def _turning(self, flights: list[Outbound], middle: Outbound) -> list[Outbound]:
        """Return flights with those where their azimuth turns back, about at the `middle`."""
        sign = 1.0 if middle.azimuth > (flights[0].azimuth + flights[-1].azimuth) / 2.0 else -1.0
        best = max(range(len(flights)), key=lambda i: sign * flights[i].azimuth)
        if best in (0, len(flights) - 1):
            return flights
        bracket = flights[best - 1 : best + 2]
        flown = {x.lift_off: x for x in flights}

        def turned(t: float) -> float:
            return sign * self.moments.among(flown, t).azimuth

        early, about, late = (x.lift_off for x in bracket)
        highest(turned, (early, about, late), NEAR_TURN)
        return _in_order([*flown.values()])


def _in_order(flights: list[Outbound]) -> list[Outbound]:
    return sorted(flights, key=lambda x: x.lift_off)


def _reaches(interval: Interval, begins: float, ends: float) -> bool:
    return interval.closes.lift_off >= begins and interval.opens.lift_off < ends


def _ahead(flown: Outbound) -> float:
    """Return the place of the injection [rad] within its revolution, from that of insertion."""
    return flown.argument - flown.parking.insertion_argument()


def _ascent(flown: Outbound) -> float:
    """Return how fast the orbit's plane leads north where the Moon is met: zero between sides."""
    pole = true_equator_of_day(flown.parking.t)[2]
    onward = cross(cross(flown.r, flown.v), flown.perilune.moon_r)
    return float(unit(onward) @ pole)
