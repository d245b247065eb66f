"""To the Moon: when to lift off, where to burn and how hard, so that an integrated arc arrives.

The burn is along the velocity in the parking orbit. Its three unknowns are the lift-off time
(which turns the orbit's plane), the place in orbit and the size of the burn; its three targets
the perilune altitude, the plane of the passage and the time of flight. A Kepler ellipse towards
the Moon's place at arrival, its pull neglected, is the first guess and no more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from math import asin, atan2, cos, pi, sin, sqrt
from typing import Literal, NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import bplane, nbody
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.bodies.earth import declination, true_equator_of_day
from mplan.physics.roots import root
from mplan.physics.targeting import NoArc, Scaling, Shot, solve_abreast, solve_each
from mplan.physics.twobody import speed, time_since_periapsis, true_anomaly_at
from mplan.physics.vectors import cross, length, lock, unit

Side = Literal["ascending", "descending"]
# Given the incoming asymptote and the time of perilune, the target normal of the lunar orbit.
LunarPlane = Callable[[bplane.Asymptote, float], np.ndarray]

FASTEST = 1.4  # eccentricity: some 20 h to the Moon
# An arc aims beside the Moon, at most some two perilunes off for low passages at 0.8 km/s
# (b = rp sqrt(1 + 2 mu / rp v^2)), and its pull bends planes: a plane that stays further from the
# Moon's place than this and twice the perilune leads nowhere (measured: 0.4 deg at 1850 km).
GRAZING = 1.5 * c.DEG

SCALING = Scaling(
    step=np.array([1.0, 1e-5, 0.01]),  # s, rad, m/s
    limit=np.array([1500.0, 0.08, 40.0]),
    tolerance=np.array([1.0, 1.0, 1e-3]),  # m, m, s
)
CLOSE = SCALING._replace(tolerance=100.0 * SCALING.tolerance)  # the lift-off is good to 0.01 s


@dataclass(frozen=True)
class Outbound:
    """A flown injection: epochs [TDB s], GCRS states right after the burn and at perilune."""

    parking: Parking
    lift_off: float
    insertion: float
    injection: float
    argument: float  # rad, of latitude, in the parking orbit
    delta_v: float  # m/s, impulsive
    r: np.ndarray
    v: np.ndarray
    perilune: nbody.Arrival

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        lock(self.r, self.v)

    @property
    def asymptote(self) -> bplane.Asymptote:
        """The incoming hyperbola at the Moon."""
        return bplane.asymptote(self.perilune.lunar_r, self.perilune.lunar_v, c.MU_MOON)

    @property
    def azimuth(self) -> float:
        """Azimuth [rad] of the orbit's plane over the launch site, from 0 to a turn."""
        return self.parking.site.azimuth % (2.0 * pi)

    @property
    def side(self) -> Side:
        """The leg of the parking orbit's plane on which the Moon is met."""
        pole = true_equator_of_day(self.parking.t)[2]
        onward = cross(cross(self.r, self.v), self.perilune.moon_r)
        return "ascending" if onward @ pole > 0.0 else "descending"


class LunarPassage(NamedTuple):
    """What a flight to the Moon is to come to.

    Whole `revolutions` before the injection, a `time_of_flight` [s] from there to `perilune`
    [m, radius], and the `plane` of the orbit at the Moon. With an `arrival` [TDB s] perilune comes
    then, and the time of flight follows from the injection.
    """

    revolutions: int
    time_of_flight: float
    perilune: float
    plane: LunarPlane
    arrival: float | None = None

    def flight_time(self, injection: float) -> float:
        """Return the time [s] from an `injection` [TDB s] to perilune."""
        return self.time_of_flight if self.arrival is None else self.arrival - injection


def fly_outbound(
    parking: Parking, revolutions: int, unknowns: np.ndarray, duration: float
) -> Outbound:
    """Fly the injection of `unknowns` (lift-off after `parking.t` [s], argument [rad], burn [m/s]).

    `duration` [s] bounds the flight; the arc ends at perilune.
    """
    return fly_outbounds([(parking, unknowns)], revolutions, duration)[0]


def fly_outbounds(
    injections: Iterable[tuple[Parking, np.ndarray]], revolutions: int, duration: float
) -> list[Outbound]:
    """Fly several injections abreast, each with its own parking orbit: see `fly_outbound`."""
    burns = [_burn(parking, revolutions, *x.tolist()) for parking, x in injections]
    arcs = [nbody.ArcStart(x.r, x.v, x.injection, duration) for x in burns]
    ends = nbody.fly_abreast(arcs, "perilune")
    return [Outbound(*burn, end) for burn, end in zip(burns, ends, strict=True)]


class _Leaving(NamedTuple):
    """An injection up to its burn: the first fields of an `Outbound`."""

    parking: Parking
    lift_off: float
    insertion: float
    injection: float
    argument: float
    delta_v: float
    r: np.ndarray
    v: np.ndarray


def _burn(
    parking: Parking, revolutions: int, wait: float, argument: float, delta_v: float
) -> _Leaving:
    lift_off = parking.t + wait
    after = parking.coast(argument, revolutions)
    r, v = parking.state(lift_off, after)
    insertion = lift_off + parking.site.climb
    injection = insertion + after
    return _Leaving(
        parking, lift_off, insertion, injection, argument, delta_v, r, v + delta_v * unit(v)
    )


def target_outbound(
    parking: Parking,
    *,
    revolutions: int,
    time_of_flight: float,
    perilune: float,
    plane: LunarPlane,
    arrival: float | None = None,
    side: Side = "descending",
    start: np.ndarray | None = None,
    aim: Scaling = SCALING,
) -> Outbound:
    """Return the injection that reaches `perilune` [m, radius] in `time_of_flight` [s].

    With an `arrival` [TDB s] it comes there then, and the time of flight is a first guess.
    `plane` gives the target normal of the orbit at the Moon, `side` the leg of the parking
    orbit on which the Moon is met; `start` replaces the first guess. NoArc if there is none, at
    once where the parking orbit's plane stays far from the Moon's place at arrival. A flight that
    only tells when to go may `aim` less well: see `CLOSE`.
    """
    passage = LunarPassage(revolutions, time_of_flight, perilune, plane, arrival)
    longest = 1.6 * time_of_flight

    def misses(xs: Sequence[np.ndarray]) -> list[np.ndarray]:
        flown = fly_outbounds(((parking, x) for x in xs), revolutions, longest)
        return [passage_miss(each, passage) for each in flown]

    if start is None:
        start = guess_outbound(parking, revolutions, time_of_flight, side)
        _require_reach(parking, start, passage)
    flown = fly_outbound(parking, revolutions, solve_abreast(misses, start, aim), longest)
    if flown.injection >= flown.insertion:
        return flown
    a_turn_on = unknowns_of(flown, parking) + np.array([0.0, 2.0 * pi, 0.0])
    return fly_outbound(parking, revolutions, solve_abreast(misses, a_turn_on, aim), longest)


def target_outbounds(
    orbits: Sequence[Parking],
    starts: Sequence[np.ndarray],
    passage: LunarPassage,
    aim: Scaling = SCALING,
) -> list[Outbound]:
    """Return the injections of `target_outbound` from several orbits, each from its start (3,).

    Their arcs are flown side by side. NoArc if one is not found.
    """
    revolutions, longest = passage.revolutions, 1.6 * passage.time_of_flight

    def misses(shots: Sequence[Shot]) -> list[np.ndarray]:
        flown = fly_outbounds(((orbits[i], x) for i, x in shots), revolutions, longest)
        return [passage_miss(each, passage) for each in flown]

    solved = solve_each(misses, starts, aim)
    return [
        # where that burns before its insertion: from there, which goes a turn on
        each if each.injection >= each.insertion else _from(each, passage, aim)
        for each in fly_outbounds(zip(orbits, solved, strict=True), revolutions, longest)
    ]


def _from(flown: Outbound, passage: LunarPassage, aim: Scaling) -> Outbound:
    """Return the injection next to one that was flown."""
    orbit = flown.parking
    return target_outbound(orbit, **passage._asdict(), start=unknowns_of(flown, orbit), aim=aim)


def passage_miss(flown: Outbound, passage: LunarPassage) -> np.ndarray:
    """Return by how much a flight misses its passage: two components of B [m], time [s]."""
    incoming, arrival = flown.asymptote, flown.perilune
    pole = selenography.lunar_pole(flown.parking.t)
    off = aim_miss(incoming, passage.perilune, passage.plane(incoming, arrival.t), pole)
    late = arrival.t - flown.injection - passage.flight_time(flown.injection)
    return np.array([*off, late])


def aim_miss(
    incoming: bplane.Asymptote, perilune: float, normal: np.ndarray, pole: np.ndarray
) -> np.ndarray:
    """Return by how much a passage misses `perilune` [m, radius] and `normal`: B.T, B.R [m]."""
    target = bplane.aim_point(incoming, perilune, normal, c.MU_MOON)
    return np.array(bplane.components(incoming, incoming.b - target, pole))


def unknowns_of(flown: Outbound, parking: Parking) -> np.ndarray:
    """Return the unknowns that flew `flown`: a start for its neighbours."""
    return np.array([flown.lift_off - parking.t, flown.argument, flown.delta_v])


def guess_outbound(
    parking: Parking, revolutions: int, time_of_flight: float, side: Side
) -> np.ndarray:
    """Return two-body unknowns: an ellipse in the parking plane to the Moon's place at arrival.

    Where the Moon stands further from the equator than the orbit's plane reaches, the plane's
    nearest point is taken.
    """
    lift_off, turned_by, distance = parking.t + c.DAY / 2.0, parking.insertion_argument(), 0.0
    for _ in range(3):  # the Moon's place depends on the lift-off, half a degree an hour
        coast = parking.coast(turned_by, revolutions)
        arrival = lift_off + parking.site.climb + coast + time_of_flight
        luna = ephemeris.moon(arrival).r
        distance = length(luna)
        node, moon_argument = plane_through(luna, parking.site.inclination, parking.t, side)
        a, e = ellipse(parking.radius, distance, time_of_flight)
        turned_by = parking.ahead(moon_argument - true_anomaly_at(distance, a, e))
        lift_off = parking.lift_off_for(node - parking.node_rate * coast)
    burn = speed(parking.radius, a, c.MU_EARTH) - sqrt(c.MU_EARTH / parking.radius)
    return np.array([lift_off - parking.t, turned_by, burn])


def beyond_moon(parking: Parking, guess: np.ndarray, passage: LunarPassage) -> float:
    """Return how much further from the equator [rad] the plane reaches than the Moon stands.

    At the arrival of a two-body `guess` (see `guess_outbound`); below zero where it misses it.
    """
    return _beyond(parking, _moon_at_arrival(parking, guess, passage))


def beside(near: Outbound, parking: Parking, passage: LunarPassage) -> np.ndarray:
    """Return unknowns (3,) of a flight from a flight that is `near`: of another azimuth or day.

    They are those of the guess, moved by what that of the near flight is off.
    """
    revolutions, duration, side = passage.revolutions, passage.time_of_flight, near.side
    orbit = replace(near.parking, t=near.lift_off - c.DAY / 2.0)
    then, now = (guess_outbound(x, revolutions, duration, side) for x in (orbit, parking))
    return now + unknowns_of(near, orbit) - then


def _require_reach(parking: Parking, guess: np.ndarray, passage: LunarPassage) -> None:
    luna = _moon_at_arrival(parking, guess, passage)
    if _beyond(parking, luna) < -(GRAZING + 2.0 * passage.perilune / length(luna)):
        raise NoArc("the parking orbit's plane stays too far from the Moon")


def _beyond(parking: Parking, luna: np.ndarray) -> float:
    inclination = parking.site.inclination
    towards = true_equator_of_day(parking.t) @ unit(luna)
    return min(inclination, pi - inclination) - abs(declination(towards))


def _moon_at_arrival(parking: Parking, guess: np.ndarray, passage: LunarPassage) -> np.ndarray:
    """Return the Moon's place (3,) [m], GCRS, at the arrival of a two-body `guess`."""
    wait, argument, _ = guess.tolist()
    injection = parking.t + wait + parking.site.climb + parking.coast(argument, passage.revolutions)
    return ephemeris.moon(injection + passage.time_of_flight).r


def plane_through(
    luna: np.ndarray, inclination: float, t: float, side: Side
) -> tuple[float, float]:
    """Return the node and the Moon's argument [rad] of a plane that holds the Moon's direction.

    `luna` (3,) is the Moon's place, GCRS; `inclination` [rad] and node count from the true
    equator and equinox at `t` [TDB s]. The nearest plane where the Moon stands too far from the
    equator.
    """
    towards = true_equator_of_day(t) @ unit(luna)
    i = inclination
    u = asin(max(-1.0, min(1.0, sin(declination(towards)) / sin(i))))
    if side == "descending":
        u = pi - u
    return atan2(towards[1], towards[0]) - atan2(cos(i) * sin(u), cos(u)), u


def ellipse(perigee: float, distance: float, time_of_flight: float) -> tuple[float, float]:
    """Return a and e of the conic from `perigee` [m] that is at `distance` [m] in time.

    Of a flight longer than half an ellipse, the slowest: the Moon's pull must do the rest.
    """

    def late(e: float) -> float:
        a = perigee / (1.0 - e)
        flown = time_since_periapsis(a, e, true_anomaly_at(distance, a, e), c.MU_EARTH)
        return flown - time_of_flight

    slowest = (distance - perigee) / (distance + perigee) + 1e-9
    if late(FASTEST) > 0.0:
        raise NoArc(f"{time_of_flight / c.HOUR:.1f} h is too short a flight to the Moon")
    e = slowest if late(slowest) <= 0.0 else root(late, slowest, FASTEST)
    return perigee / (1.0 - e), e
