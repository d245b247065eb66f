"""Flights at moments between two that are flown, along the azimuths that then lead to the Moon."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from mplan.physics.arcs import launch_time
from mplan.physics.arcs.launch_time import GuessedLaunch, LaunchGuess
from mplan.physics.arcs.outbound import LunarPassage, Outbound
from mplan.physics.arcs.parking import Parking
from mplan.physics.targeting import NoArc


class Unsettled(NoArc):
    """Flights along the limits do not settle the day: it is to be searched flight by flight."""


class Moments:
    """Flights of a day within limits of the azimuth [rad]."""

    def __init__(
        self, parking: Parking, limits: tuple[float, float], passage: LunarPassage
    ) -> None:
        """Take what one is launched into, between which azimuths, and what it comes to."""
        self.parking, self.limits, self.passage = parking, limits, passage
        self.guesses: dict[float, LaunchGuess] = {}

    def between(self, times: Sequence[float], a: Outbound, b: Outbound) -> list[Outbound]:
        """Return the flights at moments between two, from what the guess is off at both."""
        launches = [(t, self._between(t, a, b)) for t in times]
        if not launches:
            return []
        try:
            flights = launch_time.target_at_launch_times(
                self.parking, launches, self.passage, launch_time.ROUGH
            )
        except ArithmeticError:
            middle = (a.lift_off + b.lift_off) / 2.0
            flights = [self._launched(t, x, near=a if t < middle else b) for t, x in launches]
        if not all(self.limits[0] <= x.azimuth <= self.limits[1] for x in flights):
            raise Unsettled("a flight beyond the limits")
        return flights

    def _between(self, t: float, a: Outbound, b: Outbound) -> LaunchGuess:
        share = (t - a.lift_off) / (b.lift_off - a.lift_off)
        off = [GuessedLaunch(x, self._guess(x.lift_off)).off for x in (a, b)]
        if abs(off[0][1] - off[1][1]) > 1.0:
            share = round(share)  # the coast leaps by a revolution between them
        between = (1.0 - share) * off[0] + share * off[1]
        return launch_time.corrected(self._guess(t), self.parking, between)

    def among(self, flown: dict[float, Outbound], t: float) -> Outbound:
        """Return the flight at a moment, flown between its neighbours if it is not there yet."""
        if t not in flown:
            before, after = max(x for x in flown if x < t), min(x for x in flown if x > t)
            (flown[t],) = self.between([t], flown[before], flown[after])
        return flown[t]

    def _launched(self, t: float, start: LaunchGuess, near: Outbound) -> Outbound:
        """Return the flight at a moment; from the unknowns of one that is near where need be."""
        way = partial(
            launch_time.target_at_launch_time, self.parking, t, self.passage, aim=launch_time.ROUGH
        )
        try:
            return way(start=start)
        except ArithmeticError:
            return way(start=launch_time.launch_unknowns(near))

    def _guess(self, t: float) -> LaunchGuess:
        if t not in self.guesses:
            self.guesses[t] = launch_time.guess_launch(self.parking, t, self.passage)
        return self.guesses[t]
