"""Round the Moon and back into the air with no burn after the injection.

The passage is retrograde, over the far side, in a given plane and at a given perilune; what is
left to find is the time of flight with which the arc comes home to the target entry. From slow
to fast flight the return's angular momentum about Earth's pole runs smoothly through zero,
so the prograde return is bracketed, narrowed and then met by Newton's method.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import cos
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody, outbound
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, entry_miss, flight_path_angle
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import selenography
from mplan.physics.roots import root
from mplan.physics.targeting import NoArc, Scaling, solve
from mplan.physics.twobody import conic, speed

QUICKEST, SLOWEST, STRIDE = 50 * c.HOUR, 110 * c.HOUR, 8 * c.HOUR  # s, searched times of flight
LONGEST_RETURN = 12 * c.DAY  # s, from perilune


class FreeReturn(NamedTuple):
    """The injection and the arc's end at Earth."""

    outbound: outbound.Outbound
    around: nbody.Arrival

    @property
    def flight_path_angle(self) -> float:
        """Angle [rad] of the inertial velocity above the horizontal at the interface."""
        return flight_path_angle(self.around.r, self.around.v)


def find_free_return(
    parking: Parking,
    *,
    revolutions: int,
    perilune: float,
    entry_angle: float,
    plane: outbound.LunarPlane,
    side: outbound.Side = "descending",
) -> FreeReturn:
    """Return the free return past `perilune` [m, radius] that enters at `entry_angle` [rad].

    NoArc where no time of flight between 50 and 110 h brings the arc home prograde.
    """
    start: list[np.ndarray | None] = [None]

    def at(time_of_flight: float) -> outbound.Outbound:
        flown = outbound.target_outbound(
            parking,
            revolutions=revolutions,
            time_of_flight=time_of_flight,
            perilune=perilune,
            plane=plane,
            side=side,
            start=start[0],
        )
        start[0] = outbound.unknowns_of(flown, parking)  # its neighbour is near
        return flown

    def excess(time_of_flight: float) -> float:
        return _signed_excess(_home(at(time_of_flight)), entry_angle)

    low, high = _bracket(excess)
    near = at(root(excess, low, high, 60.0))
    return _met(parking, revolutions, near, perilune, entry_angle, plane)


def _bracket(excess: Callable[[float], float]) -> tuple[float, float]:
    low = QUICKEST
    while low < SLOWEST:
        if excess(low + STRIDE) > 0.0:
            return low, low + STRIDE
        low += STRIDE
    raise NoArc("no time of flight from 50 to 110 h brings the arc home prograde")


def _home(flown: outbound.Outbound) -> nbody.Arrival:
    """Fly on from perilune, with no burn."""
    there = flown.perilune
    return nbody.fly_arc(there.r, there.v, there.t, LONGEST_RETURN, "earth")


def _signed_excess(end: nbody.Arrival, entry_angle: float) -> float:
    """Return the angular momentum about the pole's side, less what the entry requires [m2/s]."""
    if end.stop == "time":
        return -np.inf
    here = conic(end.r, end.v, c.MU_EARTH)
    sense = 1.0 if here.h @ nbody.earth_pole(end.t) > 0.0 else -1.0
    radius = INTERFACE_RADIUS
    required = radius * speed(radius, here.a, c.MU_EARTH) * cos(entry_angle)
    return sense * float(np.linalg.norm(here.h)) - required


def _met(
    parking: Parking,
    revolutions: int,
    near: outbound.Outbound,
    perilune: float,
    entry_angle: float,
    plane: outbound.LunarPlane,
) -> FreeReturn:
    """Return the free return next to `near` that meets perilune, plane and entry together."""
    pole, longest = selenography.lunar_pole(parking.t), 2.0 * SLOWEST

    def miss(x: np.ndarray) -> np.ndarray:
        flown = outbound.fly_outbound(parking, revolutions, x, longest)
        incoming = flown.asymptote
        off = outbound.aim_miss(incoming, perilune, plane(incoming, flown.perilune.t), pole)
        home = entry_miss(_home(flown), 0.0, entry_angle)[0]  # whenever it comes
        return np.array([*off, home])

    aim = Scaling(outbound.SCALING.step, outbound.SCALING.limit / 10.0, np.array([1.0, 1.0, 1.0]))
    x = solve(miss, outbound.unknowns_of(near, parking), aim)
    flown = outbound.fly_outbound(parking, revolutions, x, longest)
    around = _home(flown)
    if around.stop != "entry interface":
        raise NoArc("the free return passes above the entry interface")
    return FreeReturn(flown, around)


HEIGHTS = (15e3, 100e3, 400e3, 1000e3, 2500e3, 6000e3, 15000e3, 40000e3)  # m, searched perilunes
CLOSE = 2e3  # m, between the sphere's interface and the ellipsoid's
SHARP = 1.0  # m of perilune: some 300 m of perigee


def free_return_in_time(
    parking: Parking,
    *,
    revolutions: int,
    time_of_flight: float,
    entry_angle: float,
    plane: outbound.LunarPlane,
    side: outbound.Side = "descending",
) -> FreeReturn:
    """Return the free return that is at its perilune, wherever that lies, in `time_of_flight` [s].

    It enters at `entry_angle` [rad]. NoArc where no perilune from 15 to 40 000 km up does that.
    """
    start: list[np.ndarray | None] = [None]

    def at(height: float) -> outbound.Outbound:
        flown = outbound.target_outbound(
            parking,
            revolutions=revolutions,
            time_of_flight=time_of_flight,
            perilune=c.R_MOON + height,
            plane=plane,
            side=side,
            start=start[0],
        )
        start[0] = outbound.unknowns_of(flown, parking)
        return flown

    def excess(height: float) -> float:
        return _signed_excess(_home(at(height)), entry_angle)

    def miss(height: float) -> float:
        return float(entry_miss(_home(at(height)), 0.0, entry_angle)[0])  # over the ellipsoid

    if excess(HEIGHTS[0]) < 0.0:
        raise NoArc("the free return in that time leads through the Moon")
    for low, high in pairwise(HEIGHTS):
        if excess(high) <= 0.0:
            near = root(excess, low, high, 100.0 * SHARP)
            if miss(near - CLOSE) < 0.0 or miss(near + CLOSE) > 0.0:
                raise NoArc("where the perigee fits, the return's plane goes over the poles")
            flown = at(root(miss, near - CLOSE, near + CLOSE, SHARP))
            around = _home(flown)
            if around.stop != "entry interface":
                raise NoArc("the free return passes above the entry interface")
            return FreeReturn(flown, around)
    raise NoArc("no free return takes so long")
