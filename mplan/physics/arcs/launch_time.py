"""A launch at a given clock time: the azimuth that then leads to the Moon.

At any moment one plane holds the launch site and the Moon's place at arrival. Its azimuth is the
first guess; Newton's method on integrated arcs does the rest, with the azimuth in the place of
the lift-off time among the unknowns of `outbound`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import asin, atan2, cos, pi, sin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import outbound
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.earth import (
    argument_of_latitude,
    geocentric_latitude,
    true_equator_of_day,
)
from mplan.physics.targeting import Scaling, Shot, solve_abreast, solve_each
from mplan.physics.twobody import speed, true_anomaly_at
from mplan.physics.vectors import cross, unit

SCALING = Scaling(
    step=np.array([1e-5, 1e-5, 0.01]),  # rad, rad, m/s
    limit=np.array([0.08, 0.08, 40.0]),
    tolerance=outbound.SCALING.tolerance,
)
ROUGH = SCALING._replace(tolerance=1e3 * SCALING.tolerance)  # km, s: the azimuth to 0.0001 deg


class LaunchGuess(NamedTuple):
    """Unknowns of a launch at a given time: azimuth, argument [rad], burn [m/s].

    `across` is the sine of the angle from the site to the Moon: a plane whose azimuth is a little
    off passes the Moon at that share of it.
    """

    azimuth: float
    argument: float
    burn: float
    across: float = 1.0


def target_at_launch_time(
    parking: Parking,
    lift_off: float,
    passage: outbound.LunarPassage,
    *,
    eastward: bool = True,
    start: LaunchGuess | None = None,
    aim: Scaling = SCALING,
) -> outbound.Outbound:
    """Return the flight of `outbound.target_outbound` that lifts off at `lift_off` [TDB s].

    The azimuth it takes stands in the flight's `parking.site`; `start` replaces the first guess.
    NoArc if there is none. A flight that only shows the way may `aim` less well: see `ROUGH`.
    """
    revolutions = passage.revolutions
    longest = 1.6 * passage.flight_time(lift_off + parking.site.climb)

    def flown(xs: Sequence[np.ndarray]) -> list[outbound.Outbound]:
        at_once = (
            (_along(parking, lift_off, float(x[0])), np.array([0.0, x[1], x[2]])) for x in xs
        )
        return outbound.fly_outbounds(at_once, revolutions, longest)

    def solved(start: np.ndarray) -> outbound.Outbound:
        found = solve_abreast(
            lambda xs: [outbound.passage_miss(x, passage) for x in flown(xs)], start, aim
        )
        return flown([found])[0]

    if start is None:
        start = guess_launch(parking, lift_off, passage, eastward=eastward)
    found = solved(np.array(start[:3]))
    if found.injection >= found.insertion:
        return found
    a_turn_on = np.array([found.azimuth, found.argument + 2.0 * pi, found.delta_v])
    return solved(a_turn_on)


def target_at_launch_times(
    parking: Parking,
    launches: Sequence[tuple[float, LaunchGuess]],
    passage: outbound.LunarPassage,
    aim: Scaling = SCALING,
) -> list[outbound.Outbound]:
    """Return the flights of `target_at_launch_time` at several lift-offs, each from its start.

    Their arcs are flown side by side. NoArc if one is not found.
    """
    longest = 1.6 * passage.flight_time(launches[0][0] + parking.site.climb)

    def flown(shots: Sequence[Shot]) -> list[outbound.Outbound]:
        at_once = (
            (_along(parking, launches[i][0], float(x[0])), np.array([0.0, x[1], x[2]]))
            for i, x in shots
        )
        return outbound.fly_outbounds(at_once, passage.revolutions, longest)

    def misses(shots: Sequence[Shot]) -> list[np.ndarray]:
        return [outbound.passage_miss(x, passage) for x in flown(shots)]

    solved = solve_each(misses, [np.array(start[:3]) for _, start in launches], aim)
    return [
        each if each.injection >= each.insertion else _again(each, passage, aim)
        for each in flown([*enumerate(solved)])
    ]


def _again(
    flown: outbound.Outbound, passage: outbound.LunarPassage, aim: Scaling
) -> outbound.Outbound:
    """Return the flight from one that burns before its insertion, a turn on."""
    start, orbit = launch_unknowns(flown), flown.parking
    return target_at_launch_time(orbit, flown.lift_off, passage, start=start, aim=aim)


def guess_launch(
    parking: Parking, lift_off: float, passage: outbound.LunarPassage, *, eastward: bool = True
) -> LaunchGuess:
    """Return a two-body guess: the plane through site and Moon, in it an ellipse to the Moon.

    Flown `eastward`, along an azimuth below 180 deg, or the other way round.
    """
    parking = _along(parking, lift_off, parking.site.azimuth)
    of_date, latitude = true_equator_of_day(lift_off), geocentric_latitude(parking.site.latitude)
    coast = (passage.revolutions + 0.5) * 2.0 * pi / parking.rate
    for _ in range(2):  # the Moon's place depends on the coast, half a degree an hour
        injection = lift_off + parking.site.climb + coast
        duration = passage.flight_time(injection)
        luna = ephemeris.moon(injection + duration).r
        distance = float(np.linalg.norm(luna))
        towards = _turned_back(of_date @ luna / distance, parking.node_rate * coast)
        azimuth, ahead = _plane(parking.longitude(lift_off), latitude, towards, eastward=eastward)
        parking = _along(parking, lift_off, azimuth)
        a, e = outbound.ellipse(parking.radius, distance, duration)
        there = argument_of_latitude(latitude, azimuth) + ahead
        argument = parking.ahead(there - true_anomaly_at(distance, a, e))
        coast = parking.coast(argument, passage.revolutions)
    burn = speed(parking.radius, a, c.MU_EARTH) - sqrt(c.MU_EARTH / parking.radius)
    return LaunchGuess(azimuth, argument, burn, abs(sin(ahead)))


class GuessedLaunch(NamedTuple):
    """A flight and what was guessed of it."""

    flown: outbound.Outbound
    guess: LaunchGuess

    @property
    def off(self) -> np.ndarray:
        """By how much the guess is off: plane at the Moon, injection from the site, burn (3,).

        In rad, rad and m/s. All vary slowly over a day, the azimuth itself does not: where site
        and Moon stand opposite to each other, a plane aside of the Moon is far off in azimuth.
        """
        flown, guess = self.flown, self.guess
        turn = flown.azimuth - guess.azimuth
        onward = flown.argument - guess.argument - _turned_site(flown.parking, guess.azimuth, turn)
        return np.array([sin(turn) * guess.across, onward, flown.delta_v - guess.burn])


def corrected(guess: LaunchGuess, parking: Parking, off: np.ndarray) -> LaunchGuess:
    """Return a guess moved by what it is `off`: see `GuessedLaunch.off`."""
    aside, onward, more = off.tolist()
    turn = asin(max(-1.0, min(1.0, aside / max(guess.across, 1e-9))))
    onward += _turned_site(parking, guess.azimuth, turn)
    return LaunchGuess(guess.azimuth + turn, guess.argument + onward, guess.burn + more)


def _turned_site(parking: Parking, azimuth: float, turn: float) -> float:
    """Return by how much the argument of the site [rad] grows where an azimuth turns."""
    latitude = geocentric_latitude(parking.site.latitude)
    before, after = (argument_of_latitude(latitude, x) for x in (azimuth, azimuth + turn))
    return after - before


def first_place(guess: LaunchGuess, parking: Parking) -> LaunchGuess:
    """Return a guess of another climb with its injection where this one first comes to the place.

    Near insertion one climb ends before it and another after, a revolution sooner.
    """
    orbit = _along(parking, parking.t, guess.azimuth)
    return guess._replace(argument=orbit.ahead(guess.argument))


def launch_unknowns(flown: outbound.Outbound) -> LaunchGuess:
    """Return the unknowns that flew `flown`: a start for its neighbours."""
    return LaunchGuess(flown.azimuth, flown.argument, flown.delta_v)


def _turned_back(towards: np.ndarray, angle: float) -> np.ndarray:
    """Return a direction as the plane at insertion sees it, which turns by an angle until then."""
    x, y, z = towards
    return np.array([x * cos(angle) + y * sin(angle), y * cos(angle) - x * sin(angle), z])


def _plane(
    east_of: float, latitude: float, towards: np.ndarray, *, eastward: bool
) -> tuple[float, float]:
    """Return the azimuth [rad] of the plane through a site and a direction; how far on that lies.

    `east_of` is the site's right ascension; the second angle counts from the site, along the way.
    """
    flat = cos(latitude)
    site = np.array([flat * cos(east_of), flat * sin(east_of), sin(latitude)])
    east = np.array([-sin(east_of), cos(east_of), 0.0])
    normal = unit(cross(site, towards))
    if (cross(normal, site) @ east < 0.0) == eastward:
        normal = -normal
    ahead = cross(normal, site)
    azimuth = atan2(float(ahead @ east), float(ahead @ cross(site, east))) % (2.0 * pi)
    return azimuth, atan2(float(towards @ ahead), float(towards @ site))


def _along(parking: Parking, lift_off: float, azimuth: float) -> Parking:
    return replace(parking, t=lift_off, site=replace(parking.site, azimuth=azimuth))
