"""What people take up where they are: times along the flown way by published mean rates.

The ship's own shielding is not known: rates are those of craft in which they were measured. In
lunar orbit the rate of free space holds, though the Moon hides up to half of the sky.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.flight import whereabouts
from mplan.flight.record import Flight
from mplan.physics import constants as c
from mplan.physics.living import belts, dose_rates
from mplan.physics.living.dose_rates import DoseRate

NOT_MODELLED = (
    "a solar particle event is not modelled: one may give more than all of this in hours, and "
    "takes a shelter, a warning and a way home"
)
GAP = 6.0 * c.HOUR  # s between two passages of the belts
LONGEST = 3.0 * c.HOUR  # s of one: who stays there counts for more, by the time
LOW_PARKING = 400e3  # m, below which the belts are passed twice, quickly
STEP = 60.0  # s along the way near Earth


class DosePart(NamedTuple):
    """A part of a dose: `time` [s] in it, `usual`, `least` and `most` dose equivalents [Sv]."""

    where: str
    time: float
    usual: float
    least: float
    most: float
    source: str


class CrewDose(NamedTuple):
    """The dose of one of those who live in `cabins`, part by part."""

    who: str
    crew: int
    parts: tuple[DosePart, ...]

    @property
    def usual(self) -> float:
        """All parts by their usual rates [Sv]."""
        return sum(part.usual for part in self.parts)

    @property
    def least(self) -> float:
        """All parts by their least rates [Sv]."""
        return sum(part.least for part in self.parts)

    @property
    def most(self) -> float:
        """All parts by their greatest rates [Sv]."""
        return sum(part.most for part in self.parts)


def doses(flight: Flight) -> tuple[CrewDose, ...]:
    """Return the dose of those who land and of those who stay aboard; none without a crew or date.

    All lived through the same belts; who lands has the days on the ground at the Moon's own rate.
    """
    mission = flight.scenario.mission
    if not flight.dated or not mission.crew or not flight.stretches:
        return ()
    t, r = _path(flight)
    which = belts.belts(r, t)
    inner, outer = (_time(t, which == x) for x in (1, 2))
    low = _time(t, np.linalg.norm(r, axis=1) <= c.R_EARTH + belts.LOWEST)
    free = max(0.0, float(t[-1] - t[0]) - inner - outer - low)
    ground = _grounded(flight)
    passages = max(float(_passages(t, which > 0)), (inner + outer) / LONGEST)
    near = (
        _over("under the belts", low, dose_rates.LOW_ORBIT),
        _passed("through the belts", inner + outer, passages, dose_rates.BELT_PASSAGE),
    )
    found = []
    landers = mission.landing_crew if ground > 0.0 else 0
    if mission.crew > landers:
        own = _over("in free space and lunar orbit", free, dose_rates.FREE_SPACE)
        found.append(CrewDose("those who stay aboard", mission.crew - landers, (*near, own)))
    if landers:
        own = _over("in free space and lunar orbit", max(0.0, free - ground), dose_rates.FREE_SPACE)
        stay = _over("on the Moon", ground, dose_rates.LUNAR_SURFACE)
        found.append(CrewDose("those who land", landers, (*near, own, stay)))
    return tuple(found)


def at_most(flight: Flight) -> float | None:
    """Return what no dose of a flight is above [Sv], at once; None where only its way tells.

    All its time at the highest rate, and two passages of the belts: of a low parking orbit.
    """
    if flight.scenario.orbits.parking_altitude > LOW_PARKING:
        return None
    rates = (dose_rates.FREE_SPACE, dose_rates.LUNAR_SURFACE, dose_rates.LOW_ORBIT)
    passing = 2.0 * dose_rates.BELT_PASSAGE.most
    return flight.duration * max(rate.most for rate in rates) + passing


def _over(where: str, time: float, rate: DoseRate) -> DosePart:
    return DosePart(
        where, time, rate.usual * time, rate.least * time, rate.most * time, rate.source
    )


def _passed(where: str, time: float, count: float, each: DoseRate) -> DosePart:
    source = f"{count:.3g} passages; {each.source}"
    return DosePart(where, time, each.usual * count, each.least * count, each.most * count, source)


def _path(flight: Flight) -> tuple[np.ndarray, np.ndarray]:
    """Return times [TDB s] and GCRS places [m] of the cabin that people are in at last."""
    home = flight.stretches[-1].element
    parts = whereabouts.of(flight, home).stretches
    rows = [_finer(x.t, x.r) for x in parts]
    t, r = np.concatenate([x for x, _ in rows]), np.concatenate([x for _, x in rows])
    _, once = np.unique(t, return_index=True)
    return t[once], r[once]


def _finer(t: np.ndarray, r: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return a stretch with a place for every minute where it is within reach of the belts."""
    near = np.flatnonzero(np.linalg.norm(r, axis=1) < 10.0 * c.R_EARTH)
    if near.size < 2:
        return t, r
    first, last = t[near[0]], t[near[-1]]
    between = np.arange(first, last, STEP)
    more = np.union1d(t, between[(between > first) & (between < last)])
    return more, np.stack([np.interp(more, t, x) for x in r.T], axis=1)


def _time(t: np.ndarray, there: np.ndarray) -> float:
    """Return how long something holds [s], each step by the mean of its ends."""
    share = there.astype(float)
    return float(np.sum(np.diff(t) * (share[1:] + share[:-1]) / 2.0))


def _passages(t: np.ndarray, there: np.ndarray) -> int:
    """Return how often a way leads through the belts: what lies hours apart is another passage."""
    inside = t[there]
    return 0 if inside.size == 0 else 1 + int(np.sum(np.diff(inside) > GAP))


def _grounded(flight: Flight) -> float:
    """Return how long people stand on the Moon [s]."""
    return sum(_stays(flight))


def _stays(flight: Flight) -> Iterator[float]:
    for each in flight.passages:
        landed = each.before.joined(each.before.landed) if each.before.landed else ()
        if any(each.before.crew.get(name) for name in landed):
            yield each.after.elapsed - each.before.elapsed
