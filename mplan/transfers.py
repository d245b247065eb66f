"""The four calculations of a lunar mission, one call each: to learn from and to sketch with.

`hohmann` joins two circles; `translunar`, `lunar_orbit_insertion` and `return_burn` follow each
other from a parking orbit to Earth's air, each taking the result of the one before. Beside every
integrated answer (Earth with J2, the Moon with its figure, the Sun as a point, JPL's DE421) stands
the joined conics' one. Burns are impulses: what a real thrust adds is flown by `mplan.fly`.

    >>> import mplan
    >>> there = mplan.translunar("2031-05-25 20:00", time_of_flight="76 h")
    >>> captured = mplan.lunar_orbit_insertion(there)
    >>> home = mplan.return_burn(captured, stay="48 h", time_of_flight="68 h")
    >>> round(there.delta_v + captured.delta_v + home.delta_v, 1)  # m/s
    4974.4

Arguments are quantities with their unit, "185 km"; a bare number is refused with an
`ArgumentError`. Results are SI floats and read-only arrays. A planning study, not flight approval.
"""

from __future__ import annotations

from datetime import date
from math import degrees
from typing import Annotated, get_args

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import homeward, injection, lunar_orbit
from mplan.physics.arcs.outbound import Side
from mplan.physics.bodies import selenography
from mplan.physics.burns.shared_turn import combined
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import circular_speed, speed
from mplan.physics.twobody import hohmann as two_burns
from mplan.physics.vectors import turned, unit
from mplan.scenario.arguments import ArgumentError, choice, moment, quantity
from mplan.scenario.models import CoastTime, EntryAngle, LunarAltitude, ParkingAltitude
from mplan.scenario.quantities import Quantity
from mplan.transfer_results import (
    EARTH_FRAME,
    MOON_FRAME,
    Hohmann,
    Impulse,
    LunarOrbitInsertion,
    ReturnBurn,
    Solution,
    StateVector,
    Translunar,
    lunar_altitude,
)

__all__ = ["ArgumentError", "hohmann", "lunar_orbit_insertion", "return_burn", "translunar"]

BODIES = {"Earth": (c.R_EARTH, c.MU_EARTH), "Moon": (c.R_MOON, c.MU_MOON)}
APPROACHES = {"retrograde": -1.0, "prograde": 1.0}
SIDES: tuple[Side, ...] = get_args(Side)

Inclination = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="180 deg", example="30 deg")
]
Distance = Annotated[float, Quantity("length", above="0 m", example="185 km")]
Turn = Annotated[float, Quantity("angle", at_least="-90 deg", at_most="90 deg", example="8 deg")]
Stay = Annotated[float, Quantity("time", at_least="0 h", at_most="14 d", example="48 h")]


def hohmann(
    altitude: str,
    to_altitude: str | None = None,
    *,
    to_distance: str | None = None,
    body: str = "Earth",
) -> Hohmann:
    """Return the two-burn transfer between two circles about one body (Vallado 2013, alg. 36).

    Altitudes count from the equatorial radius (Earth 6378.137 km, Moon 1737.4 km);
    `to_distance`, in the place of `to_altitude`, from the body's centre, as the Moon's distance
    is given. `body` is "Earth" or "Moon". In closed form: no third body, no thrust losses.
    ArgumentError for anything else.

        >>> import mplan
        >>> mplan.hohmann("185 km", to_distance="384400 km")
        Hohmann
          about                       Earth
          from                        185.000 km altitude, 6,563.137 km from the centre
          to                          378,021.863 km altitude, 384,400.000 km from the centre
          first burn                  3,135.131 m/s
          second burn                 831.717 m/s
          delta-v                     3,966.848 m/s
          time                        119.464043 h (4.977668 d)
          A planning study, not flight approval.
    """
    size, mu = BODIES[choice("body", body, BODIES)]
    low = size + quantity("altitude", altitude, Distance)
    if (to_altitude is None) == (to_distance is None):
        given = "neither" if to_altitude is None else "both"
        raise ArgumentError("to_altitude, to_distance", given, "one of the two")
    if to_distance is None:
        high = size + quantity("to_altitude", to_altitude, Distance)
    else:
        high = quantity("to_distance", to_distance, Distance)
        if high <= size:
            accepted = f"more than the radius of the {body}, {size / 1e3:g} km"
            raise ArgumentError("to_distance", f'"{to_distance}"', accepted)
    (first, second), duration = two_burns(low, high, mu)
    return Hohmann(body, size, (low, high), first, second, duration)


def translunar(
    departure: str | date,
    *,
    time_of_flight: str = "76 h",
    parking_altitude: str = "185 km",
    inclination: str = "30 deg",
    perilune_altitude: str = "110 km",
    approach: str = "retrograde",
    side: str = "descending",
) -> Translunar:
    """Return the injection at `departure` (UTC) that passes the Moon after `time_of_flight`.

    From a circular orbit of `inclination` to Earth's true equator, its node free (30 deg, the
    default, reaches the Moon on every date); `side` is the leg of that orbit, "ascending" or
    "descending", on which the Moon is met. The passage has its perilune at `perilune_altitude`
    over the sphere of 1737.4 km, `approach` "retrograde" or "prograde", in the plane nearest to
    the Moon's equator. The conic first guess is an ellipse to the Moon's place joined to a
    hyperbola (Bate, Mueller & White 1971, ch. 7), the answer is met by Newton's method on
    integrated arcs to 1 m and 1 ms. ArgumentError for bad input and where no arc is found.

        >>> import mplan
        >>> there = mplan.translunar("2031-05-25 20:00", time_of_flight="76 h")
        >>> there.burns
        (3,160.8 m/s at 2031-05-25 20:00:00 UTC,)
        >>> there.integrated
        delta-v 3,160.8 m/s, duration 76.00 h, final speed 2,527.0 m/s
        >>> there.conic
        delta-v 3,160.0 m/s, duration 76.00 h, final speed 2,550.5 m/s
    """
    t = moment("departure", departure)
    duration = quantity("time_of_flight", time_of_flight, CoastTime)
    radius = c.R_EARTH + quantity("parking_altitude", parking_altitude, ParkingAltitude)
    tilt = quantity("inclination", inclination, Inclination)
    perilune = c.R_MOON + quantity("perilune_altitude", perilune_altitude, LunarAltitude)
    plane = injection.level(APPROACHES[choice("approach", approach, APPROACHES)])
    _refuse_too_flat(inclination, tilt, t + duration)
    orbit = injection.Circle(t, radius, tilt)
    try:
        guess = injection.guess_injection(orbit, duration, choice("side", side, SIDES))
        flown = injection.target_injection(
            orbit, guess, time_of_flight=duration, perilune=perilune, plane=plane
        )
    except NoArc as problem:
        raise _no_arc(time_of_flight, "to the Moon", "60 h to 110 h", problem) from problem
    there = flown.perilune
    arrival = StateVector(there.t, there.lunar_r, there.lunar_v, MOON_FRAME)
    speed_there = injection.patched_speed(orbit, guess, duration, perilune)
    return Translunar(
        Solution(float(guess[2]), duration, speed_there),
        Solution(flown.delta_v, there.t - t, arrival.speed),
        StateVector(t, *orbit.state(flown.node, flown.argument), EARTH_FRAME),
        StateVector(t, flown.r, flown.v, EARTH_FRAME),
        arrival,
    )


def lunar_orbit_insertion(
    arrival: Translunar, *, apolune_altitude: str | None = None, turn: str | None = None
) -> LunarOrbitInsertion:
    """Return the capture at the perilune of `arrival` into a circle at its altitude.

    One burn against the velocity, or with `turn` one that turns the course as well, to the
    Moon's north if positive (combined change, Vallado 2013, sec. 6.4); with `apolune_altitude`
    two, the first into an ellipse with that apolune, the second a revolution later at its perilune.
    Speeds follow from vis-viva (Vallado 2013, ch. 1); the ellipse is flown with the Moon's figure.
    The conic answer starts from the speed that the joined conics arrive with. ArgumentError for
    bad input.

        >>> import mplan
        >>> there = mplan.translunar("2031-05-25 20:00", time_of_flight="76 h")
        >>> for burn in mplan.lunar_orbit_insertion(there, apolune_altitude="300 km").burns:
        ...     print(burn.name, burn)
        lunar-orbit insertion 858.6 m/s at 2031-05-29 00:00:00 UTC
        lunar-orbit circularisation 39.4 m/s at 2031-05-29 02:08:02 UTC
        >>> turning = mplan.lunar_orbit_insertion(there, turn="8 deg")
        >>> round(turning.delta_v - mplan.lunar_orbit_insertion(there).delta_v, 1)  # m/s
        43.6
    """
    _refuse_other("arrival", arrival, Translunar)
    here = arrival.perilune
    radius = here.distance
    circle = after = circular_speed(radius, c.MU_MOON)
    if apolune_altitude is not None:
        high = c.R_MOON + quantity("apolune_altitude", apolune_altitude, LunarAltitude)
        if high < radius:
            accepted = f"the perilune, {lunar_altitude(here)}, or more"
            raise ArgumentError("apolune_altitude", f'"{apolune_altitude}"', accepted)
        after = speed(radius, (radius + high) / 2.0, c.MU_MOON)
    angle = 0.0 if turn is None else quantity("turn", turn, Turn)
    size = float(combined(here.speed, after, angle))
    burns = [Impulse("lunar-orbit insertion", here.t, size)]
    orbit = _turned(lunar_orbit.LunarOrbit(here.t, here.r, here.v), angle)
    orbit = lunar_orbit.with_speed(orbit, after)
    if apolune_altitude is not None:
        orbit = lunar_orbit.coast(orbit, orbit.period)
        burns.append(Impulse("lunar-orbit circularisation", orbit.t, after - circle))
    orbit, waited = lunar_orbit.circular(orbit), orbit.t - here.t
    return LunarOrbitInsertion(
        Solution(float(combined(arrival.conic.final_speed, circle, angle)), waited, circle),
        Solution(sum(burn.delta_v for burn in burns), waited, circle),
        tuple(burns),
        StateVector(orbit.t, orbit.r, orbit.v, MOON_FRAME),
        orbit.inclination,
        orbit.period,
    )


def return_burn(
    captured: LunarOrbitInsertion,
    *,
    stay: str = "48 h",
    time_of_flight: str = "68 h",
    entry_angle: str = "-6.4 deg",
) -> ReturnBurn:
    """Return the cheapest burn home within the revolution that follows `stay` in lunar orbit.

    The arc meets the entry interface, 121.92 km above Earth's ellipsoid, after `time_of_flight`,
    its inertial velocity at `entry_angle` to the horizontal (negative going down); where it comes
    down is left open. The conic first guess joins two conics at the Moon (Battin 1999, ch. 11);
    the answer is met by Newton's method on integrated arcs. The lunar orbit is flown with the
    Moon's J2 and C22. ArgumentError for bad input and where no arc is found.

        >>> import mplan
        >>> there = mplan.translunar("2031-05-25 20:00", time_of_flight="76 h")
        >>> home = mplan.return_burn(mplan.lunar_orbit_insertion(there), stay="48 h")
        >>> home.integrated
        delta-v 915.6 m/s, duration 68.00 h, final speed 11,014.8 m/s
        >>> home.conic
        delta-v 940.9 m/s, duration 68.00 h, final speed 11,014.0 m/s
    """
    _refuse_other("captured", captured, LunarOrbitInsertion)
    wait = quantity("stay", stay, Stay)
    duration = quantity("time_of_flight", time_of_flight, CoastTime)
    angle = quantity("entry_angle", entry_angle, EntryAngle)
    here = captured.orbit
    orbit = lunar_orbit.coast(lunar_orbit.LunarOrbit(here.t, here.r, here.v), wait)
    try:
        _, guess = homeward.guess_return(orbit, duration, angle)
        flown = homeward.target_return(orbit, time_of_flight=duration, entry_angle=angle)
    except NoArc as problem:
        raise _no_arc(time_of_flight, "home", "50 h to 110 h", problem) from problem
    end = flown.interface
    left = StateVector(flown.t, flown.leaving.r, flown.leaving.v, MOON_FRAME)
    entry = StateVector(end.t, end.r, end.v, EARTH_FRAME)
    falling = homeward.entry_speed(orbit.t, duration, angle)
    return ReturnBurn(
        Solution(float(np.linalg.norm(guess)), duration, falling),
        Solution(flown.delta_v, end.t - flown.t, entry.speed),
        left,
        StateVector(flown.t, flown.r, flown.v, EARTH_FRAME),
        entry,
        flown.flight_path_angle,
    )


def _turned(orbit: lunar_orbit.LunarOrbit, angle: float) -> lunar_orbit.LunarOrbit:
    """Return the orbit with its course turned to the Moon's north by an angle [rad]."""
    north = float(orbit.normal @ selenography.lunar_pole(orbit.t)) > 0.0  # on the left of it
    v = turned(orbit.v, unit(orbit.r), angle if north else -angle)
    return lunar_orbit.LunarOrbit(orbit.t, orbit.r, v)


def _refuse_too_flat(inclination: str, tilt: float, arrival: float) -> None:
    """Raise ArgumentError where the parking orbit never passes under the Moon at arrival."""
    least = degrees(injection.least_inclination(arrival))
    if not least <= degrees(tilt) <= 180.0 - least:
        accepted = (
            f"{least:.2f} to {180.0 - least:.2f} deg, for the Moon then stands {least:.2f} deg "
            "from the equator"
        )
        raise ArgumentError("inclination", f'"{inclination}"', accepted)


def _refuse_other(name: str, value: object, wanted: type) -> None:
    """Raise ArgumentError where a chain is fed with something else."""
    if not isinstance(value, wanted):
        call = {Translunar: "translunar", LunarOrbitInsertion: "lunar_orbit_insertion"}[wanted]
        raise ArgumentError(name, type(value).__name__, f"what {call}() returns")


def _no_arc(value: str, way: str, mostly: str, problem: NoArc) -> ArgumentError:
    found = f'"{value}", for which no arc {way} was found ({problem})'
    return ArgumentError("time_of_flight", found, f"mostly {mostly}")
