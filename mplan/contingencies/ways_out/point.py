"""A cabin with people at a time of a flight: what it is part of, and what it is about to do."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from mplan.flight.record import BurnRecord, Flight, Passage
from mplan.flight.state import Craft, State
from mplan.scenario.events import SERIES
from mplan.vehicle.stack import with_role

Stretch = Literal[
    "pad",
    "climb",
    "Earth orbit",
    "to the Moon",
    "lunar orbit",
    "way down",
    "on the Moon",
    "way up",
    "way home",
    "entry",
]
TO_LANDER = ("descent-orbit insertion", "powered descent")
FROM_MOON = ("lunar ascent", "rendezvous")
THROUGH_AIR = ("enter", "splash")
EDGE = 1e-3  # s: a burn whose end is no further ahead is over, for times are sums


@dataclass(frozen=True)
class CabinPoint:
    """A `cabin` with crew, `elapsed` [s] since lift-off."""

    flight: Flight
    cabin: str
    elapsed: float

    @cached_property
    def passage(self) -> Passage:
        """The event that is on; at the edge of two the later one; LookupError after the last."""
        for each in self.flight.passages:
            if each.before.elapsed <= self.elapsed < each.after.elapsed:
                return each
        raise LookupError(f"nothing is flown {self.elapsed:.0f} s after lift-off")

    @property
    def before(self) -> State:
        """The state at the beginning of the event that is on: what has been drawn since is not."""
        return self.passage.before

    @property
    def craft(self) -> Craft:
        """What the cabin is joined to."""
        return self.before.joined(self.cabin)

    @property
    def crew(self) -> int:
        """How many people are in the cabin."""
        return self.before.crew.get(self.cabin, 0)

    @cached_property
    def burning(self) -> BurnRecord | None:
        """The burn of this craft that is on, if one is."""
        burn = self.next_burn  # its event may begin later: at half of the burn
        if burn is None or burn.element not in self.craft:
            return None
        return burn if burn.elapsed <= self.elapsed < burn.elapsed + burn.duration else None

    @cached_property
    def next_burn(self) -> BurnRecord | None:
        """The burn of this craft, or of what becomes of it, that is on or comes next.

        One of a row, as of a rendezvous, comes next until its event is over.
        """
        for each in self.flight.passages:
            burn = each.burn
            if burn is None or not burn.lit or _over(each, burn) <= self.elapsed + EDGE:
                continue
            if self.cabin in each.before.joined(burn.element):
                return burn
        return None

    @cached_property
    def stretch(self) -> Stretch:
        """Which part of the mission it is in."""
        state, leg = self.before, self.passage.burn.leg if self.passage.burn else ""
        if self.elapsed <= 0.0 and state.launched is None:
            return "pad"
        if state.climbing:
            return "climb"
        if state.departing is None or self._waits_for(leg, "translunar injection"):
            return "Earth orbit"
        if self.passage.event.do in THROUGH_AIR:
            return "entry"
        if state.homeward is not None or self._past("trans-Earth injection") or self._flown_by:
            return "way home"
        if state.moon is None:
            return "to the Moon"
        if (state.landed and state.landed in self.craft) or self._waits_for(leg, "lunar ascent"):
            return "on the Moon"
        return self._about_the_moon(leg)

    def _about_the_moon(self, leg: str) -> Stretch:
        """Return the stretch of a cabin that goes round the Moon, or down to it or up from it."""
        mine = self.passage.burn is not None and self.passage.burn.element in self.craft
        if mine and leg in FROM_MOON:
            return "way up"
        if mine and leg in TO_LANDER:
            return "way down"
        if with_role(self.before.scenario, "crew module") not in self.craft:  # away from the ship
            return "way down" if self.before.descent is None else "way up"
        return "lunar orbit"

    @property
    def _flown_by(self) -> bool:
        """Whether the Moon has been passed on an arc that needs no burn to come home."""
        state = self.before
        passed = state.lift_off + self.elapsed >= state.outbound.perilune.t
        return state.moon is None and state.free_return is not None and passed

    def _waits_for(self, leg: str, asked: str) -> bool:
        """Tell whether the leg of this cabin that is on is the one asked, and not lit yet."""
        burn = self.passage.burn
        mine = burn is not None and burn.element in self.craft
        return leg == asked and burn is not None and mine and self.elapsed < burn.elapsed

    def _past(self, asked: str) -> bool:
        """Tell whether the event that is on is the burn asked, lit already."""
        burn = self.passage.burn
        return burn is not None and burn.leg == asked and self.elapsed >= burn.elapsed


def _over(passage: Passage, burn: BurnRecord) -> float:
    """Return when a burn, or the last of a row, is over [s since lift-off]."""
    return passage.after.elapsed if burn.leg in SERIES else burn.elapsed + burn.duration
