"""Past the Moon and home the sooner: a burn of a given size, in the direction that gains most time.

Joined conics tell which time of flight a burn of that size leads home in (Battin 1999, ch. 11);
arcs are then flown, and the time is moved until their burn has the size.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import ROUGH, Homeward, ReturnPlane, correct_return
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.bodies import ephemeris
from mplan.physics.circumlunar.coast_past import (
    CorrectionHome,
    conics_home,
    hits_moon,
    is_prograde,
)
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import Vector, frozen, turned, unit

SHORTEST, LONGEST, STRIDE = 24 * c.HOUR, 152 * c.HOUR, 4 * c.HOUR  # s, times of flight looked at
QUICKEST = 32 * c.HOUR  # s: entries at more than 11.4 km/s (our choice)
TRIES = 6
TWO = 2  # times of flight at least, for a slope between them
TILT = 60.0 * c.DEG
CLOSE = 0.5  # m/s, of the size


def hastened_return(here: nbody.Arrival, size: float, entry_angle: float) -> CorrectionHome:
    """Return the soonest way home from `here`, past the Moon, with a burn of `size` [m/s] at most.

    It meets the interface at `entry_angle` [rad, below zero], round with Earth's turn; the burn is
    within half a metre per second of the size, or less where it leads home in 32 h: quicker arcs
    are not looked for. NoArc where none is found.
    """
    problem: NoArc | None = None
    for plane in (None, *_planes(here)):
        try:
            return _in_plane(here, size, entry_angle, plane)
        except NoArc as missed:
            problem = problem or missed
    raise problem or NoArc("no conic leads home from here")


def _planes(here: nbody.Arrival) -> Iterator[ReturnPlane]:
    """Yield planes home that go with Earth's turn: level, and tilted to either side."""
    up = unit(here.moon_r)
    pole = nbody.earth_pole(here.t)
    level = unit(pole - (pole @ up) * up)
    for tilt in (0.0, -TILT, TILT):
        yield ReturnPlane(up, turned(level, up, tilt))


def _in_plane(
    here: nbody.Arrival, size: float, entry_angle: float, plane: ReturnPlane | None
) -> CorrectionHome:
    flights, burns = _conics(here, entry_angle, plane)
    costs = np.linalg.norm(burns, axis=-1)
    enough = np.flatnonzero(costs <= size)
    if not enough.size:
        raise NoArc(f"{costs.min():,.0f} m/s would be the least that leads home")
    first = int(enough[0])
    lasts, slope = float(flights[first]), float(np.gradient(costs, flights)[first])
    if first:  # between the last that costs more and the first that costs less
        lasts -= (size - costs[first]) / (costs[first - 1] - costs[first]) * STRIDE

    def home(burn: np.ndarray) -> Homeward:
        leaving = LunarOrbit(here.t, here.lunar_r, here.lunar_v)
        return correct_return(leaving, burn, lasts, entry_angle, ROUGH, plane)

    flown = home(burns[first])
    for _ in range(TRIES):
        over = flown.delta_v - size
        if abs(over) < CLOSE or slope >= 0.0 or (lasts == QUICKEST and over < 0.0):
            break
        lasts = max(QUICKEST, lasts - over / slope)
        after = home(flown.burn)
        gone = after.interface.t - flown.interface.t
        slope, flown = (after.delta_v - flown.delta_v) / gone if gone else slope, after
    if flown.delta_v > size + CLOSE:
        raise NoArc(f"no burn of {size:,.0f} m/s was found that leads home")
    leaves = replace(here, r=flown.r, v=flown.v)
    if hits_moon(leaves, flown.interface.t) or not is_prograde(flown.interface):
        raise NoArc("the arc home meets the Moon, or comes in against Earth's turn")
    return CorrectionHome(here.t, flown.burn, flown.interface)


_State = tuple[float, Vector, Vector]  # TDB s, m, m/s


def _conics(
    here: nbody.Arrival, entry_angle: float, plane: ReturnPlane | None
) -> tuple[np.ndarray, np.ndarray]:
    """Return times of flight (n,) [s] and the least burns (n, 3) [m/s] of joined conics."""
    state = here.t, tuple(here.r.tolist()), tuple(here.v.tolist())
    normal = None if plane is None else tuple(plane.normal.tolist())
    return _joined(state, entry_angle, normal)


@lru_cache(maxsize=64)  # the same for all engines that may burn there
def _joined(
    state: _State, entry_angle: float, normal: Vector | None
) -> tuple[np.ndarray, np.ndarray]:
    t, luna = state[0], ephemeris.moon(state[0])
    here = nbody.Arrival(t, np.array(state[1]), np.array(state[2]), luna.r, luna.v, "time")
    plane = None if normal is None else ReturnPlane(unit(luna.r), np.array(normal))
    flights, burns = [], []
    for flight in np.arange(SHORTEST, LONGEST, STRIDE).tolist():
        with suppress(ArithmeticError):
            found = conics_home(here, flight, entry_angle, plane)
            if found.size:
                flights.append(flight)
                burns.append(found[np.argmin(np.linalg.norm(found, axis=-1))])
    if len(flights) < TWO:
        raise NoArc("no conic leads home from here")
    return frozen((np.array(flights), np.array(burns)))
