"""Turned back before the Moon: the burn after which an arc meets the air without going round it.

The first guess is a conic about Earth in the plane of the arc: its level speed follows from the
entry, its radial speed is free and decides how soon it is home (Bate, Mueller & White 1971,
ch. 7). Newton's method on integrated arcs, with Moon and Sun, then meets the entry angle with a
burn of the wanted size, or at the wanted time. A burn that uses all there is turns the arc round
the soonest; the least one lets it climb on to where the Moon would take over.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, entry_miss
from mplan.physics.circumlunar.coast_past import CorrectionHome
from mplan.physics.targeting import NoArc, Scaling, solve_abreast
from mplan.physics.twobody import time_since_periapsis, true_anomaly_at
from mplan.physics.vectors import cross, length, unit

HIGHEST = 2.2e8  # m from Earth: further out the Moon bends an arc by more than its entry bears
FAR = 0.8  # of that height, where it is nearly reached
LONGEST = 12 * c.DAY  # s, for which a way home is followed
TURNS = 12  # of level speed and energy, each worked out with the other
NEVER = 3e4  # m/s inwards: beyond any spacecraft's burn

AIM = Scaling(
    step=np.full(3, 0.01),  # m/s
    limit=np.full(3, 400.0),
    tolerance=np.array([100.0, 0.05, 0.05]),  # m of perigee, m/s or s, m/s across the plane
)


class TurnedBack(NamedTuple):
    """A conic home as a first guess: its burn (3,) [m/s] and time to the interface [s]."""

    burn: np.ndarray
    lasts: float


class _Plane(NamedTuple):
    """A state told in the plane of its motion: radius [m], unit vectors, radial and level speed."""

    radius: float
    up: np.ndarray
    ahead: np.ndarray
    rising: float
    level: float


def soonest_return(here: nbody.ArcStart, size: float, entry_angle: float) -> CorrectionHome:
    """Return the way home soonest with a burn of `size` [m/s] at `here`, in the plane of motion.

    It meets the interface at `entry_angle` [rad, below zero], round with Earth's turn. NoArc where
    a burn of this size does not lead there.
    """
    plane = _plane(here)
    guess = _guess(plane, _soonest(plane, size, entry_angle), entry_angle)
    return _of_size(here, guess, size, entry_angle)


def least_return(
    here: nbody.ArcStart, entry_angle: float, highest: float = HIGHEST
) -> CorrectionHome:
    """Return the way home of the least burn whose arc climbs to `highest` [m] at the most.

    From further out, the one that climbs no more. See `soonest_return`.
    """
    plane = _plane(here)
    top = max(plane.radius, highest)
    rising = min(plane.rising, _rising_to(plane.radius, top, entry_angle))

    guess = _guess(plane, rising, entry_angle)
    pace, far = length(here.v + guess.burn), plane.radius > FAR * top

    def over(burn: np.ndarray, end: nbody.Arrival, off: np.ndarray) -> float:
        """Return what is left to how high it climbs: by its speed, near the top by its rise."""
        if far:
            return float(burn @ plane.up) - (rising - plane.rising)
        return length(here.v + burn) - pace

    return _met(here, guess, entry_angle, over, 0.0)


def return_in_time(here: nbody.ArcStart, lasts: float, entry_angle: float) -> CorrectionHome:
    """Return the way home that meets the interface after `lasts` [s]. See `soonest_return`."""
    plane = _plane(here)
    guess = _guess(plane, _rising_for(plane, lasts, entry_angle), entry_angle)

    def late(burn: np.ndarray, end: nbody.Arrival, off: np.ndarray) -> float:
        return float(off[1])

    return _met(here, guess, entry_angle, late, here.t + lasts)


def turning_burn(here: nbody.ArcStart, lasts: float, entry_angle: float) -> float:
    """Return the burn [m/s] of the conic that is home after `lasts` [s]: a first guess."""
    plane = _plane(here)
    return length(_guess(plane, _rising_for(plane, lasts, entry_angle), entry_angle).burn)


def _of_size(
    here: nbody.ArcStart, guess: TurnedBack, size: float, entry_angle: float
) -> CorrectionHome:
    def over(burn: np.ndarray, end: nbody.Arrival, off: np.ndarray) -> float:
        return length(burn) - size

    return _met(here, guess, entry_angle, over, 0.0)


def _plane(here: nbody.ArcStart) -> _Plane:
    """Return a state in its plane, the level direction being the one with Earth's turn."""
    up = unit(here.r)
    ahead = unit(cross(cross(here.r, here.v), here.r))
    if cross(here.r, ahead) @ nbody.earth_pole(here.t) < 0.0:
        ahead = -ahead
    return _Plane(length(here.r), up, ahead, float(here.v @ up), float(here.v @ ahead))


def _level_speed(radius: float, rising: float, entry_angle: float) -> float:
    """Return the level speed [m/s] with which a radial speed leads to the entry angle.

    From the angular momentum at the interface, r u = R V cos(angle), V from the energy.
    """
    level = 0.0
    for _ in range(TURNS):
        energy = (rising * rising + level * level) / 2.0 - c.MU_EARTH / radius
        square = 2.0 * (energy + c.MU_EARTH / INTERFACE_RADIUS)
        level = INTERFACE_RADIUS * sqrt(max(0.0, square)) * np.cos(entry_angle) / radius
    return float(level)


def _lasts(radius: float, rising: float, level: float) -> float:
    """Return the time [s] along a conic from `radius` [m] to the interface, going down."""
    square = rising * rising + level * level
    a = 1.0 / (2.0 / radius - square / c.MU_EARTH)
    p = (radius * level) ** 2 / c.MU_EARTH
    e = sqrt(max(1e-12, 1.0 - p / a))
    if a < 0.0 < rising:
        return np.inf
    here = time_since_periapsis(a, e, true_anomaly_at(radius, a, e), c.MU_EARTH)
    air = time_since_periapsis(a, e, true_anomaly_at(INTERFACE_RADIUS, a, e), c.MU_EARTH)
    if rising <= 0.0:
        return here - air
    return 2.0 * np.pi * sqrt(a**3 / c.MU_EARTH) - here - air


def _guess(plane: _Plane, rising: float, entry_angle: float) -> TurnedBack:
    level = _level_speed(plane.radius, rising, entry_angle)
    burn = (rising - plane.rising) * plane.up + (level - plane.level) * plane.ahead
    lasts = _lasts(plane.radius, rising, level)
    if not lasts <= LONGEST:
        raise NoArc(f"no conic leads home within {LONGEST / c.DAY:.0f} d")
    return TurnedBack(burn, lasts)


def _soonest(plane: _Plane, size: float, entry_angle: float) -> float:
    """Return the radial speed [m/s] that a burn of `size` leaves once it has met the entry."""
    rising = plane.rising - size
    for _ in range(TURNS):
        aside = _level_speed(plane.radius, rising, entry_angle) - plane.level
        if abs(aside) > size:
            raise NoArc(f"{abs(aside):,.0f} m/s would be the least that leads to the air")
        rising = plane.rising - sqrt(size * size - aside * aside)
    return rising


def _rising_to(radius: float, top: float, entry_angle: float) -> float:
    """Return the radial speed [m/s] at `radius` of the conic whose apogee is `top` [m]."""
    if top <= radius:
        return 0.0
    a = (top + INTERFACE_RADIUS) / 2.0
    for _ in range(TURNS):
        fast = sqrt(c.MU_EARTH * (2.0 / INTERFACE_RADIUS - 1.0 / a))
        p = (INTERFACE_RADIUS * fast * np.cos(entry_angle)) ** 2 / c.MU_EARTH
        e = 1.0 - p / top
        a = top / (1.0 + e)
    square = c.MU_EARTH * (2.0 / radius - 1.0 / a) - p * c.MU_EARTH / radius**2
    return sqrt(max(0.0, square))


def _rising_for(plane: _Plane, lasts: float, entry_angle: float) -> float:
    """Return the radial speed [m/s] of the conic that is home after `lasts` [s], by halving."""
    low, high = -NEVER, sqrt(2.0 * c.MU_EARTH / plane.radius)
    for _ in range(60):
        middle = (low + high) / 2.0
        level = _level_speed(plane.radius, middle, entry_angle)
        late = _lasts(plane.radius, middle, level) > lasts
        low, high = (low, middle) if late else (middle, high)
    return low


Third = Callable[[np.ndarray, nbody.Arrival, np.ndarray], float]


def _met(
    here: nbody.ArcStart, guess: TurnedBack, entry_angle: float, third: Third, wanted: float
) -> CorrectionHome:
    """Return the way home next to a guess: entry, the `third` target, and in the plane."""
    normal = unit(cross(here.r, here.v))
    longest = min(LONGEST, 2.0 * guess.lasts + c.DAY)

    def arrive(burns: Sequence[np.ndarray]) -> Sequence[nbody.Arrival]:
        arcs = [nbody.ArcStart(here.r, here.v + burn, here.t, longest) for burn in burns]
        return nbody.fly_abreast(arcs, "earth")

    def misses(burns: Sequence[np.ndarray]) -> list[np.ndarray]:
        found = []
        for burn, end in zip(burns, arrive(burns), strict=True):
            off = entry_miss(end, wanted, entry_angle)
            found.append(np.array([off[0], third(burn, end, off), float(burn @ normal)]))
        return found

    burn = solve_abreast(misses, guess.burn, AIM)
    end = arrive([burn])[0]
    if end.stop != "entry interface":
        raise NoArc("the arc home passes above the entry interface")
    return CorrectionHome(here.t, burn, end)
