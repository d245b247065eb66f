"""Home from a lunar orbit: where to burn and which way, so that an integrated arc meets the air.

The first guess joins two conics (`joined_conics`), from every point of the orbit; the cheapest pair
is kept. Newton's method on integrated arcs then finds the smallest burn that meets both targets,
there and a little before and after, and the best of the places between.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.bplane import asymptote
from mplan.physics.arcs.leaving.joined_conics import (
    INTERFACE_RADIUS,
    PLACES,
    ReturnPlane,
    departures,
    entry_speed,
    guess_return,
    guess_returns,
    perigee_for,
    return_asymptotes,
)
from mplan.physics.arcs.leaving.least_departure import least_burn
from mplan.physics.arcs.leaving.lower_place import LowerPlace, lower_places
from mplan.physics.arcs.lunar_orbit import ROUND, LunarOrbit, coast
from mplan.physics.bodies import ephemeris
from mplan.physics.targeting import Misses, NoArc, Scaling, solve_abreast
from mplan.physics.twobody import conic, kepler, time_since_periapsis, true_anomaly_at
from mplan.physics.vectors import cosine_between, cross, freeze, length, unit

__all__ = [
    "INTERFACE_RADIUS",
    "ROUGH",
    "SCALING",
    "Homeward",
    "ReturnPlane",
    "correct_return",
    "departures",
    "entry_miss",
    "entry_speed",
    "flight_path_angle",
    "guess_return",
    "guess_returns",
    "leave_orbit",
    "perigee_for",
    "return_asymptotes",
    "target_return",
]

WALK = 36  # places, half of a revolution

SCALING = Scaling(
    step=np.full(3, 0.01),  # m/s
    limit=np.full(3, 150.0),
    tolerance=np.array([1.0, 1e-2]),  # m of perigee (0.00001 deg at the interface), s
)
ROUGH = SCALING._replace(tolerance=np.array([1e3, 10.0]))  # the burn is then good to 0.01 m/s
PLANE_TOLERANCE = 1e-4  # rad


@dataclass(frozen=True)
class Homeward:
    """A flown return burn: where from, burn vector [m/s], GCRS state after it, its arrival.

    Where the plane was tilted for the latitude of the splash, `reach` are the lowest and the
    highest [rad] that a plane leads to, and `least` is the burn [m/s] in the cheapest plane, from
    the best place of the same revolution and for the same time of flight.
    """

    leaving: LunarOrbit
    burn: np.ndarray
    r: np.ndarray
    v: np.ndarray
    interface: nbody.Arrival
    reach: tuple[float, float] | None = None
    least: float | None = None

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def t(self) -> float:
        """Epoch of the burn [TDB s]."""
        return self.leaving.t

    @property
    def delta_v(self) -> float:
        """Size of the burn [m/s], impulsive."""
        return length(self.burn)

    @property
    def flight_path_angle(self) -> float:
        """Angle [rad] of the inertial velocity above the horizontal at the interface."""
        return flight_path_angle(self.interface.r, self.interface.v)


def flight_path_angle(r: np.ndarray, v: np.ndarray) -> float:
    """Return the angle [rad] of a velocity above the horizontal, geocentric."""
    return float(np.arcsin(cosine_between(unit(r), unit(v))))


def target_return(
    orbit: LunarOrbit,
    *,
    time_of_flight: float,
    entry_angle: float,
    plane: ReturnPlane | None = None,
) -> Homeward:
    """Return the cheapest burn of the revolution that follows `orbit`, a circle or an ellipse.

    The arc meets the entry interface after `time_of_flight` [s] at `entry_angle` [rad, below
    zero], in a `plane` if one is given. NoArc if Newton's method finds none.
    """
    problem: NoArc | None = None
    for wait, burn in guess_returns(orbit, time_of_flight, entry_angle, plane):
        try:
            return _best_near(orbit, wait, burn, time_of_flight, entry_angle, plane)
        except NoArc as missed:
            problem = problem or missed
    raise problem or NoArc("no place of the orbit leads home")


def _best_near(
    orbit: LunarOrbit,
    wait: float,
    burn: np.ndarray,
    time_of_flight: float,
    entry_angle: float,
    plane: ReturnPlane | None,
    further: int = WALK,
) -> Homeward:
    """Return the cheapest burn next to a place that is `wait` [s] on, and to a burn [m/s].

    On an ellipse the guess may be some places off: the search then goes on downhill, by `further`
    places at the most, and ends where no arc leads home any more.
    """

    apart = _time_apart(orbit, wait)

    def there(places: float) -> LunarOrbit:
        return coast(orbit, wait + places * apart)

    def home(leaving: LunarOrbit, start: np.ndarray, aim: Scaling = ROUGH) -> Homeward:
        return leave_orbit(leaving, start, time_of_flight, entry_angle, aim, plane)

    middle = home(there(0.0), burn)
    earlier, later = there(-1.0), there(1.0)
    start = _same_way(middle, earlier)
    before = home(earlier, start)
    after = home(later, _same_way(middle, later) + start - before.burn)  # as far off, against it
    best = _vertex(before.delta_v, middle.delta_v, after.delta_v)
    if abs(best) == 1.0 and orbit.e > ROUND and further:
        beside = before if best < 0.0 else after
        next_one = LowerPlace(1, beside.t, beside.burn)
        for on in (*lower_places(beside.leaving, beside.burn, best, plane), next_one):
            left = max(0, further - on.places)
            with suppress(NoArc):
                return _best_near(
                    orbit, on.t - orbit.t, on.burn, time_of_flight, entry_angle, plane, left
                )
    slope, bend = (after.burn - before.burn) / 2.0, before.burn - 2.0 * middle.burn + after.burn
    return home(there(best), middle.burn + best * slope + best**2 / 2.0 * bend, SCALING)


def _same_way(home: Homeward, leaving: LunarOrbit) -> np.ndarray:
    """Return the burn [m/s] from a place nearby that leaves the Moon along the same asymptote."""
    here = home.leaving
    back = asymptote(here.r, -(here.v + home.burn), c.MU_MOON)  # seen backwards in time
    outward = -back.v_inf * back.s
    return departures(leaving.r[None], outward[None])[0, 0] - leaving.v


def _time_apart(orbit: LunarOrbit, wait: float) -> float:
    """Return the time [s] between two of the `PLACES`, `wait` [s] on: it is shorter at perilune."""
    if orbit.e < ROUND:
        return orbit.period / PLACES
    r, v = kepler(orbit.r, orbit.v, wait, c.MU_MOON)
    return 2.0 * pi / PLACES * float(r @ r) / length(cross(r, v))


def _vertex(before: float, middle: float, after: float) -> float:
    """Return where, from -1 to 1, the parabola through three values at -1, 0 and 1 is lowest."""
    bend = before - 2.0 * middle + after
    if bend <= 0.0:
        return -1.0 if before < after else 1.0
    return max(-1.0, min(1.0, (before - after) / (2.0 * bend)))


def correct_return(
    leaving: LunarOrbit,
    burn: np.ndarray,
    time_of_flight: float,
    entry_angle: float,
    aim: Scaling,
    plane: ReturnPlane | None = None,
) -> Homeward:
    """Return the least burn [m/s] from the place `leaving`, found from one that is near.

    Its arc meets the interface after `time_of_flight` [s] at `entry_angle` [rad], within the
    tolerances of `aim`; and in a `plane`, if one is given. NoArc if Newton's method finds none.
    """
    return _corrected(solve_abreast, leaving, burn, time_of_flight, entry_angle, aim, plane)


def leave_orbit(
    leaving: LunarOrbit,
    burn: np.ndarray,
    time_of_flight: float,
    entry_angle: float,
    aim: Scaling,
    plane: ReturnPlane | None = None,
) -> Homeward:
    """Return what `correct_return` does, from a place of a lunar orbit: in a few steps."""

    def solver(misses: Misses, start: np.ndarray, aim: Scaling) -> np.ndarray:
        return least_burn(misses, leaving, start, aim)

    return _corrected(solver, leaving, burn, time_of_flight, entry_angle, aim, plane)


def _corrected(
    solver: Callable[[Misses, np.ndarray, Scaling], np.ndarray],
    leaving: LunarOrbit,
    burn: np.ndarray,
    time_of_flight: float,
    entry_angle: float,
    aim: Scaling,
    plane: ReturnPlane | None,
) -> Homeward:
    if plane is not None:
        aim = aim._replace(tolerance=np.append(aim.tolerance, PLANE_TOLERANCE))
    luna = ephemeris.moon(leaving.t)
    r, v = leaving.r + luna.r, leaving.v + luna.v

    def arrive(burns: Sequence[np.ndarray]) -> Sequence[nbody.Arrival]:
        arcs = [nbody.ArcStart(r, v + x, leaving.t, 2.0 * time_of_flight) for x in burns]
        return nbody.fly_abreast(arcs, "earth", degree=leaving.degree)

    def miss(end: nbody.Arrival) -> np.ndarray:
        off = entry_miss(end, leaving.t + time_of_flight, entry_angle)
        return off if plane is None else np.append(off, plane.off(end.r, end.v))

    burn = solver(lambda burns: [miss(end) for end in arrive(burns)], burn, aim)
    end = arrive([burn])[0]
    if end.stop != "entry interface":
        raise NoArc("the arc home passes above the entry interface")
    return Homeward(leaving, burn, r, v + burn, end)


def entry_miss(end: nbody.Arrival, wanted: float, entry_angle: float) -> np.ndarray:
    """Return by how much [m of perigee, s of perigee time] an arc misses its entry.

    Told from the conic at the arc's end, so that it is smooth whether the arc reached the
    interface or passed above it. `wanted` is the time [TDB s] at the interface. Far off, metres
    are told by the root of the perigee: it goes with the angular momentum, which a burn changes in
    proportion, so that Newton's steps are long enough.
    """
    if end.stop == "time":
        raise NoArc("the arc does not come back to Earth in the time it is given")
    here = conic(end.r, end.v, c.MU_EARTH)
    # The interface lies over an ellipsoid: its radius is where the arc crossed it, if it did.
    radius = INTERFACE_RADIUS
    if end.stop == "entry interface":
        radius = length(end.r)
    perigee = perigee_for(entry_angle, radius, here.a)
    e = 1.0 - perigee / here.a
    fall = time_since_periapsis(here.a, e, true_anomaly_at(radius, here.a, e), c.MU_EARTH)
    off = 2.0 * (sqrt(here.periapsis * perigee) - perigee)
    return np.array([off, end.t - here.since_periapsis - (wanted + fall)])
