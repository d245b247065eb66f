"""Past the Moon with no burn there: what becomes of the arc, and the burn that would bring it home.

The arc is flown on from perilune until it meets the air or passes its perigee at Earth. The burn
that mends it is the least, in any direction, after which the arc meets the interface at the target
angle, going round with Earth's turn; when it gets there is left free. Newton's method finds it from
no burn at all or, for an arc that does not come back, from joined conics (Battin 1999, ch. 11).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import (
    ROUGH,
    ReturnPlane,
    correct_return,
    departures,
    entry_miss,
    return_asymptotes,
)
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.bodies import ephemeris
from mplan.physics.targeting import NoArc, Scaling, solve_abreast
from mplan.physics.twobody import conic
from mplan.physics.vectors import cross, freeze, turned, unit

LONGEST = 15 * c.DAY  # s, for which an arc is followed: as long as either integrator flies
BESIDE = c.HOUR  # s after one closest approach to the Moon, before the next is looked for
HILL = 1.5e9  # m from Earth, where the Sun takes over (Hill's radius, 0.01 au)
SLOWEST = 8 * c.DAY  # s, from a correction to the air
FLIGHTS = [hours * c.HOUR for hours in range(40, 141, 10)]  # s home, of the joined conics
STARTS = 3  # of these, the least burns, that are flown
STEEPEST = 85 * c.DEG  # of a prograde plane, from the one that lies nearest to the equator
NEAR = 1e-3  # rad, of a plane

AIM = Scaling(
    step=np.full(3, 0.01),  # m/s
    limit=np.full(3, 300.0),
    tolerance=np.array([100.0]),  # m of perigee: 0.001 deg at the interface
    least=2.5e-3,  # 0.75 m/s aside of the least burn, which costs 0.015 m/s more at most (measured)
)

Fate = Literal["comes back to Earth", "hits the Moon", "leaves Earth", "stays far out"]


@dataclass(frozen=True)
class CoastPast:
    """What an arc does past the Moon: epochs [TDB s], `perigee` a height over the equator [m].

    Below zero where the path would lead through Earth. `end` is the arrival that was flown:
    `t` is when perigee is passed, without air. Both are None where it does not come back.
    """

    fate: Fate
    end: nbody.Arrival
    t: float | None = None
    perigee: float | None = None
    prograde: bool | None = None


@dataclass(frozen=True)
class CorrectionHome:
    """A burn [m/s] at `t` [TDB s], after the Moon, and the arrival at the interface it leads to."""

    t: float
    burn: np.ndarray
    interface: nbody.Arrival

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def delta_v(self) -> float:
        """Size of the burn [m/s], impulsive."""
        return float(np.linalg.norm(self.burn))


def coast_past(perilune: nbody.Arrival) -> CoastPast:
    """Return what becomes of an arc after `perilune` if nothing burns, for thirty days."""
    end = nbody.fly_arc(perilune.r, perilune.v, perilune.t, LONGEST, "earth")
    if hits_moon(perilune, end.t):
        return CoastPast("hits the Moon", end)
    here = conic(end.r, end.v, c.MU_EARTH)
    if end.stop == "time":
        gone = here.e >= 1.0 or float(np.linalg.norm(end.r)) > HILL
        return CoastPast("leaves Earth" if gone else "stays far out", end)
    return CoastPast(
        "comes back to Earth",
        end,
        end.t - here.since_periapsis,
        here.periapsis - c.R_EARTH,
        is_prograde(end),
    )


def hits_moon(perilune: nbody.Arrival, until: float) -> bool:
    """Tell whether an arc meets the Moon's surface at or after `perilune`, up to a time [TDB s]."""
    here = perilune
    while float(np.linalg.norm(here.lunar_r)) >= c.R_MOON:
        if until - here.t <= BESIDE:
            return False
        on = nbody.fly_arc(here.r, here.v, here.t, BESIDE)
        here = nbody.fly_arc(on.r, on.v, on.t, until - on.t, "perilune")
        if here.stop == "time":
            return False
    return True


def correct_home(perilune: nbody.Arrival, wait: float, entry_angle: float) -> CorrectionHome:
    """Return the least burn `wait` [s] after `perilune` that leads to the interface.

    There at `entry_angle` [rad, below zero], prograde. Of an arc that leaves Earth, the least of
    those that are home within 140 h. NoArc where none is found.
    """
    here = nbody.fly_arc(perilune.r, perilune.v, perilune.t, wait)
    lost = nbody.fly_arc(here.r, here.v, here.t, SLOWEST, "earth").stop == "time"
    ways = (_from_conics,) if lost else (_from_rest, _in_a_plane)
    for way in ways:
        found = [each for each in way(here, entry_angle) if is_prograde(each.interface)]
        if found:
            return min(found, key=lambda each: each.delta_v)
    raise NoArc("no burn was found that leads home")


def _from_rest(here: nbody.Arrival, entry_angle: float) -> Iterator[CorrectionHome]:
    """Yield the burn that is next to none at all."""
    yield from _least(here, np.zeros(3), entry_angle)


def _from_conics(here: nbody.Arrival, entry_angle: float) -> Iterator[CorrectionHome]:
    """Yield burns next to those of joined conics, home in the same time."""
    leaving = LunarOrbit(here.t, here.lunar_r, here.lunar_v)
    for flight, burn in _starts(here, entry_angle)[:STARTS]:
        with suppress(ArithmeticError):
            flown = correct_return(leaving, burn, flight, entry_angle, ROUGH)
            after = replace(here, v=flown.v)
            if not hits_moon(after, flown.interface.t):
                yield CorrectionHome(here.t, flown.burn, flown.interface)


def _in_a_plane(here: nbody.Arrival, entry_angle: float) -> Iterator[CorrectionHome]:
    """Yield burns into the steepest planes that are prograde: next to an arc that is not."""
    up = unit(here.moon_r)
    pole = nbody.earth_pole(here.t)
    level = unit(pole - (pole @ up) * up)
    for tilt in (-STEEPEST, STEEPEST):
        plane = ReturnPlane(up, turned(level, up, tilt))
        for _, burn in _starts(here, entry_angle, plane)[:1]:
            yield from _least(here, burn, entry_angle, plane)


def _least(
    here: nbody.Arrival, start: np.ndarray, entry_angle: float, plane: ReturnPlane | None = None
) -> Iterator[CorrectionHome]:
    """Yield the least burn next to `start` that leads to the interface, if there is one."""
    with suppress(ArithmeticError):
        begin = nbody.ArcStart(here.r, here.v, here.t, SLOWEST)
        yield least_correction(begin, start, entry_angle, plane)


def least_correction(
    here: nbody.ArcStart, start: np.ndarray, entry_angle: float, plane: ReturnPlane | None = None
) -> CorrectionHome:
    """Return the least burn [m/s] at `here` next to `start` that leads to the interface.

    There at `entry_angle` [rad, below zero], whenever it comes; in a `plane` if one is given.
    `here` bounds the flight if it states a duration. NoArc where none is found.
    """
    aim = AIM if plane is None else AIM._replace(tolerance=np.append(AIM.tolerance, NEAR))
    longest = here.duration or SLOWEST

    def arrive(burns: Sequence[np.ndarray]) -> Sequence[nbody.Arrival]:
        arcs = [nbody.ArcStart(here.r, here.v + burn, here.t, longest) for burn in burns]
        return nbody.fly_abreast(arcs, "earth")

    def miss(end: nbody.Arrival) -> np.ndarray:
        off = entry_miss(end, 0.0, entry_angle)[:1]  # whenever it comes
        return off if plane is None else np.append(off, plane.off(end.r, end.v))

    burn = solve_abreast(lambda burns: [miss(end) for end in arrive(burns)], start, aim)
    end = arrive([burn])[0]
    if end.stop != "entry interface":
        raise NoArc("the arc home passes above the entry interface")
    return CorrectionHome(here.t, burn, end)


def _starts(
    here: nbody.Arrival, entry_angle: float, plane: ReturnPlane | None = None
) -> list[tuple[float, np.ndarray]]:
    """Return times of flight [s] and burns [m/s] onto joined conics home, the least first."""
    found = []
    for flight in FLIGHTS:
        with suppress(ArithmeticError):
            burns = conics_home(here, flight, entry_angle, plane)
            found.append((flight, burns[np.argmin(np.linalg.norm(burns, axis=-1))]))
    return sorted(found, key=lambda each: float(np.linalg.norm(each[1])))


def conics_home(
    here: nbody.Arrival, flight: float, entry_angle: float, plane: ReturnPlane | None
) -> np.ndarray:
    """Return burns (n, 3) [m/s] onto conics that are home, prograde, after `flight` [s]."""
    asymptotes = return_asymptotes(here.t, flight, entry_angle, plane)
    luna = ephemeris.moon(here.t)
    turning = np.cross(luna.r, asymptotes + luna.v) @ nbody.earth_pole(here.t) > 0.0
    return departures(here.lunar_r[None], asymptotes[turning])[0] - here.lunar_v


def is_prograde(end: nbody.Arrival) -> bool:
    """Tell whether an arc comes in with Earth's turn."""
    return bool(unit(cross(end.r, end.v)) @ nbody.earth_pole(end.t) > 0.0)
