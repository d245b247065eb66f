"""Fly what is given: a state to coast from, a burn to fly.

Nothing is aimed at or looked for, as the four calculations of `transfers` do: a state with its
date goes in, the state at the end comes out, under Earth with J2, Moon and Sun (DE421).

    >>> import mplan
    >>> orbit = mplan.parking_orbit(
    ...     "2031-05-25 20:00", altitude="185 km", latitude="-14.4 deg", longitude="-20 deg",
    ...     speed="7793 m/s", heading="83 deg")
    >>> burnt = mplan.burn(
    ...     orbit.state, thrust="1 MN", isp="450 s", mass="130 t", delta_v="3160 m/s")
    >>> mplan.coast(burnt.end, until="apogee", longest="10 d").stop
    'apogee'

Arguments are quantities with their unit, "185 km"; a bare number is refused with an
`ArgumentError`. A planning study, not flight approval.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import isfinite
from typing import Annotated

import numpy as np

from mplan.calculations.state_results import FlownBurn, FlownCoast
from mplan.physics import constants as c
from mplan.physics.arcs import coasting, thrust_arc
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.rocket import burn_time, propellant
from mplan.physics.vectors import cross
from mplan.scenario.arguments import ArgumentError, choice, moment, quantity
from mplan.scenario.quantities import Quantity
from mplan.transfer_results import EARTH_FRAME, MOON_FRAME, StateVector

__all__ = ["burn", "coast", "state"]

FRAMES = {"Earth": EARTH_FRAME, "Moon": MOON_FRAME}
UNITS = {"km, km/s": 1e3, "m, m/s": 1.0}
DIRECTIONS = {"forwards": 1.0, "backwards": -1.0}
FARTHEST = 1e9  # m from the centre: two and a half times the Moon's distance
FASTEST = 20e3  # m/s

MOON_FIELDS: dict[str, Degree] = {"J2 and C22": 2, "degree 8": 8}

Altitude = Annotated[float, Quantity("length", above="0 km", at_most="500000 km", example="15 km")]
Longest = Annotated[float, Quantity("time", above="0 s", at_most="15 d", example="4 d")]
Thrust = Annotated[float, Quantity("force", above="0 N", at_most="100 MN", example="95 kN")]
Isp = Annotated[float, Quantity("time", at_least="50 s", at_most="10000 s", example="311 s")]
Mass = Annotated[float, Quantity("mass", above="0 kg", at_most="10000 t", example="46 t")]
DeltaV = Annotated[float, Quantity("speed", above="0 m/s", at_most="20 km/s", example="900 m/s")]
TurnRate = Annotated[float, Quantity("angular rate", at_least="-10 deg/s", at_most="10 deg/s")]
Duration = Annotated[float, Quantity("time", above="0 s", at_most="1 d", example="357 s")]


def state(
    when: str | date,
    r: Sequence[float],
    v: Sequence[float],
    *,
    units: str,
    centre: str = "Earth",
) -> StateVector:
    """Return the state with position `r` and velocity `v` from the centre of "Earth" or "Moon".

    ICRF axes (GCRS about Earth), `when` in UTC; `units` says what the numbers are, "km, km/s" or
    "m, m/s". ArgumentError for anything but three finite numbers each, for a place inside the body
    or beyond 1,000,000 km, and for more than 20 km/s.

        >>> import mplan
        >>> mplan.state("2031-05-25 20:00", [6563.1, 0, 0], [0, 7.79, 0], units="km, km/s")
        2031-05-25 20:00:00 UTC, GCRS, geocentric: r [6563.100, 0.000, 0.000] km, v [0.000000, \
7.790000, 0.000000] km/s
    """
    scale = UNITS[choice("units", units, UNITS)]
    about = choice("centre", centre, FRAMES)
    place, pace = _vector("r", r, units) * scale, _vector("v", v, units) * scale
    least = c.R_EARTH * (1.0 - c.F_EARTH) if about == "Earth" else c.R_MOON
    distance, fast = float(np.linalg.norm(place)), float(np.linalg.norm(pace))
    if not least <= distance <= FARTHEST:
        accepted = f"from {least / 1e3:,.1f} km, the body's radius, to {FARTHEST / 1e3:,.0f} km"
        raise ArgumentError("r", f"{distance / 1e3:,.3f} km from the centre", accepted)
    if fast > FASTEST:
        raise ArgumentError("v", f"{fast:,.0f} m/s", f"up to {FASTEST:,.0f} m/s")
    return StateVector(moment("when", when), place, pace, FRAMES[about])


def coast(
    start: StateVector,
    *,
    until: str = "time",
    longest: str,
    altitude: str | None = None,
    moon_field: str = "J2 and C22",
) -> FlownCoast:
    """Return where a coast from `start` ends: at a stop, or after `longest`.

    `until` is "perilune", "apolune" (within 100,000 km of the Moon), "perigee" (within 200,000 km
    of Earth), "apogee", "ascending node", "descending node", "altitude" (the `altitude` to come to,
    up or down) or "time"; nodes and altitudes are of the body from whose centre `start` counts.
    What the coast begins at is not counted. `moon_field` is "J2 and C22" or "degree 8", for low
    lunar orbits. Every coast ends where it meets Earth's air (121.92 km above the ellipsoid, going
    down) or the Moon's sphere of 1737.4 km; `stop` says which. ArgumentError for bad input.

        >>> import mplan
        >>> there = mplan.translunar("2031-05-25 20:00", time_of_flight="76 h")
        >>> past = mplan.coast(there.departure, until="perilune", longest="5 d")
        >>> past.stop, round(past.duration / 3600, 2)  # h
        ('perilune', 76.0)
        >>> mplan.coast(past.end, until="perigee", longest="12 d").stop
        'perigee'
    """
    r, v = _from_earth("start", start)
    stop = choice("until", until, coasting.STOPS)
    limit = quantity("longest", longest, Longest)
    degree = MOON_FIELDS[choice("moon_field", moon_field, MOON_FIELDS)]
    if (stop == "altitude") != (altitude is not None):
        found = "none" if altitude is None else f'"{altitude}"'
        raise ArgumentError("altitude", found, 'one with until="altitude", and with nothing else')
    height = 0.0 if altitude is None else quantity("altitude", altitude, Altitude)
    try:
        flown = coasting.coast_to(
            r, v, start.t, limit, stop, about=_centre(start), altitude=height, degree=degree
        )
    except ArithmeticError as problem:
        raise ArgumentError("start", f"{start} ({problem})", "a path that can be flown") from None
    luna = StateVector(flown.t, flown.lunar_r, flown.lunar_v, MOON_FRAME)
    return FlownCoast(start, StateVector(flown.t, flown.r, flown.v, EARTH_FRAME), luna, flown.stop)


def burn(
    start: StateVector,
    *,
    thrust: str,
    isp: str,
    mass: str,
    direction: str | Sequence[float] = "forwards",
    turn_rate: str | None = None,
    delta_v: str | None = None,
    duration: str | None = None,
) -> FlownBurn:
    """Return where a burn at full thrust from `start` ends, and what it has used.

    `direction` is "forwards" or "backwards", along the velocity about the centre of `start` all
    the way, or a vector among the stars (ICRF) that is held, or turned at a `turn_rate` about the
    normal of the orbit at ignition, above zero the way the craft goes round. It lasts as long as
    `delta_v` takes by the rocket equation (Sutton & Biblarz 2017, ch. 4), or for
    `duration`. Air is left out. ArgumentError for bad input, and where the craft itself would be
    used up or meets the ground.

        >>> import mplan
        >>> there = mplan.translunar("2031-05-25 20:00")
        >>> flown = mplan.burn(
        ...     there.before, thrust="1 MN", isp="450 s", mass="130 t", delta_v="3190 m/s")
        >>> round(flown.duration, 1), round(flown.propellant)  # s, kg
        (295.2, 66903)
        >>> round(flown.end.speed - flown.start.speed), round(flown.by_gravity)  # m/s
        (3092, -98)
    """
    r, v = _from_earth("start", start)
    push, impulse = quantity("thrust", thrust, Thrust), quantity("isp", isp, Isp)
    before = quantity("mass", mass, Mass)
    if (delta_v is None) == (duration is None):
        given = "neither" if delta_v is None else "both"
        raise ArgumentError("delta_v, duration", given, "one of the two")
    if delta_v is not None:
        spent = propellant(impulse, before, quantity("delta_v", delta_v, DeltaV))
        seconds = burn_time(push, impulse, spent)
    else:
        seconds = quantity("duration", duration, Duration)
    about = _centre(start)
    try:
        flown = thrust_arc.fly_thrust(
            r,
            v,
            start.t,
            seconds,
            thrust=push,
            isp=impulse,
            mass=before,
            steering=_steering(direction, turn_rate, start),
            about=about,
        )
    except ArithmeticError as problem:
        raise ArgumentError("duration", f"{seconds:,.1f} s ({problem})", "a shorter burn") from None
    end = StateVector(flown.t, flown.r, flown.v, EARTH_FRAME)
    if about == "Moon":
        luna = ephemeris.moon(flown.t)
        end = StateVector(flown.t, flown.r - luna.r, flown.v - luna.v, MOON_FRAME)
    return FlownBurn(start, end, seconds, before, flown.mass, flown.ideal, flown.along)


def _steering(
    direction: str | Sequence[float], turn_rate: str | None, start: StateVector
) -> thrust_arc.Steering:
    """Return the steering of a burn; ArgumentError for what gives none."""
    rate = None if turn_rate is None else quantity("turn_rate", turn_rate, TurnRate)
    if isinstance(direction, str):
        sense = DIRECTIONS[choice("direction", direction, DIRECTIONS)]
        if rate is not None:
            accepted = f"none with {direction}, which turns with the velocity; or a vector to turn"
            raise ArgumentError("turn_rate", f'"{turn_rate}"', accepted)
        if start.speed == 0.0:
            raise ArgumentError("direction", f'"{direction}"', "a vector, from a state at rest")
        return thrust_arc.along_velocity(sense)
    vector = _vector("direction", direction, "of any length, ICRF")
    if not vector.any():
        raise ArgumentError("direction", "(0, 0, 0)", 'a vector, "forwards" or "backwards"')
    if rate is None:
        return thrust_arc.steady(vector)
    normal = cross(start.r, start.v)
    if not normal.any():
        raise ArgumentError("turn_rate", f'"{turn_rate}"', "none where the path has no plane")
    return thrust_arc.at_turn_rate(vector, normal, rate, start.t)


def _vector(name: str, value: Sequence[float], what: str) -> np.ndarray:
    """Return three finite numbers as an array; ArgumentError for anything else."""
    try:
        found = np.array([float(x) for x in value])
    except (TypeError, ValueError):
        found = np.array([])
    if found.shape != (3,) or not all(isfinite(x) for x in found):
        raise ArgumentError(name, repr(value), f"three numbers ({what})")
    return found


def _centre(start: StateVector) -> coasting.Centre:
    return "Earth" if start.frame == EARTH_FRAME else "Moon"


def _from_earth(name: str, start: StateVector) -> tuple[np.ndarray, np.ndarray]:
    """Return geocentric place [m] and velocity [m/s] of a state about either body."""
    if not isinstance(start, StateVector):
        raise ArgumentError(name, type(start).__name__, "a state, such as state() returns")
    if start.frame == EARTH_FRAME:
        return start.r, start.v
    luna = ephemeris.moon(start.t)
    return start.r + luna.r, start.v + luna.v
