"""From an orbit of its own to the ship that waits: the phase is made right, then they meet.

A lander that comes back at another time than planned finds the ship elsewhere. It waits in its own
orbit, which is lower and gains on the ship; or it burns at perilune into an ellipse whose period
brings the ship to the right place after one revolution or some, and back (the common
practice of phasing orbits). From there the plan's own rendezvous is flown burn by burn.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import pi, sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, OrbitKey, coast_abreast, with_speed
from mplan.physics.arcs.orbit import apsides
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.lead import required_lead
from mplan.physics.rendezvous.meeting import LONGEST, Meeting, meet
from mplan.physics.rendezvous.relative import phase_angle
from mplan.physics.rendezvous.terms import Terms
from mplan.physics.twobody import period, speed

MOST_WAITS = 18  # revolutions: by then a low orbit has gained a whole turn on the ship
PHASING = (1, 2, 3, 4, 6)  # revolutions in a phasing orbit
HIGHEST = c.R_MOON + 1000e3  # m, apolune of a phasing orbit (our choice)
EARLY = 0.02  # rad by which the ship may be less far ahead than asked: the schedule takes it up


class PhasedMeeting(NamedTuple):
    """A wait, or an ellipse entered and left again, and the meeting; velocities [m/s].

    `phasing` are the two burns at perilune, zero for a wait; `revolutions` those until the meeting
    begins, from `begins` [TDB s].
    """

    begins: float
    revolutions: int
    phasing: float
    meeting: Meeting
    orbit: LunarOrbit  # that of the wait

    @property
    def docked(self) -> float:
        """When the craft touch [TDB s]."""
        return self.meeting.docked


class _Orbits(NamedTuple):
    """Both orbits as the lander stands at its perilune, radii [m], and what is asked."""

    active: LunarOrbit
    target: LunarOrbit
    low: float
    high: float
    asked: Terms

    @property
    def circle(self) -> float:
        return self.target.a

    @property
    def rate(self) -> float:
        """Mean motion of the ship [rad/s]."""
        return sqrt(c.MU_MOON / self.circle**3)

    @property
    def a(self) -> float:
        return (self.low + self.high) / 2.0

    @property
    def lead(self) -> float:
        """How far ahead the ship has to be as the meeting begins [rad]."""
        return required_lead(self.asked, self.low, self.high, self.circle)

    @property
    def slack(self) -> float:
        """By how much [rad] it may be further ahead: what the coelliptic orbit gains meanwhile."""
        if self.asked.schedule == "direct":
            return EARLY
        level = self.circle - self.asked.height
        return (sqrt(c.MU_MOON / level**3) - self.rate) * (LONGEST - 1) * self.target.period


@lru_cache(maxsize=512)
def meetings(active: OrbitKey, target: OrbitKey, asked: Terms) -> tuple[PhasedMeeting, ...]:
    """Return the meetings from an orbit at its perilune with a ship on a circle, the soonest first.

    None where no such orbit passes below the ship's. The first that takes no phasing ends the list:
    nothing later is cheaper.
    """
    low, high = apsides(active.orbit)
    both = _Orbits(active.orbit, target.orbit, low, high, _coelliptic(asked))
    try:
        ways = sorted(_ways(both), key=lambda each: each[0])
    except NoMeeting:
        return ()
    found = []
    for _, turns, pace in ways:
        met = _flown(both, turns, pace)
        if met is not None:
            found.append(met)
            if not met.phasing:
                break
    return tuple(found)


def _coelliptic(asked: Terms) -> Terms:
    """Return the plan's terms with the schedule that takes up what phase is left over."""
    return asked._replace(schedule="coelliptic")


def _ways(both: _Orbits) -> Iterator[tuple[float, int, float]]:
    """Yield how long [s], how many revolutions, and the speed at perilune meanwhile [m/s]."""
    lead, phase = both.lead, phase_angle(both.active, both.target)
    own = period(both.a, c.MU_MOON)
    gain = 2.0 * pi - both.rate * own
    for turns in range(MOST_WAITS):
        over = (phase - turns * gain - lead + EARLY) % (2.0 * pi)
        if over < both.slack:
            yield turns * own, turns, speed(both.low, both.a, c.MU_MOON)
            break
    for turns in PHASING:
        for whole in (-1, 0, 1):
            once = (2.0 * pi * (turns + whole) + lead - phase) / (turns * both.rate)
            a = (c.MU_MOON * (once / (2.0 * pi)) ** 2) ** (1.0 / 3.0) if once > 0.0 else 0.0
            if both.low <= 2.0 * a - both.low <= HIGHEST:
                yield turns * once, turns, speed(both.low, a, c.MU_MOON)


def _flown(both: _Orbits, turns: int, pace: float) -> PhasedMeeting | None:
    """Return the meeting after some revolutions at a speed at perilune [m/s]; None if none fits."""
    own = speed(both.low, both.a, c.MU_MOON)
    there = with_speed(both.active, pace)
    risen, ship = coast_abreast((there, both.target), turns * there.period)
    back = with_speed(risen, own) if pace != own else risen
    try:
        met = meet(back, ship, both.asked)
    except NoMeeting:
        return None
    return PhasedMeeting(both.active.t, turns, 2.0 * abs(pace - own), met, there)
