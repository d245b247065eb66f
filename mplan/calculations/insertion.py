"""A parking orbit from what is known of its insertion: place, speed, flight-path angle, heading."""

from __future__ import annotations

from datetime import date
from math import acos, atan2, cos, pi, sin, sqrt
from typing import Annotated

import erfa
import numpy as np

from mplan.calculations.state_results import ParkingOrbit
from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.physics.twobody import conic
from mplan.physics.vectors import cross, unit
from mplan.scenario.arguments import ArgumentError, choice, moment, quantity
from mplan.scenario.quantities import Quantity
from mplan.transfer_results import EARTH_FRAME, StateVector

LATITUDES = ("geocentric", "geodetic")
SPEEDS = ("inertial", "over ground")
NORTH = np.array([0.0, 0.0, 1.0])

Altitude = Annotated[float, Quantity("length", at_least="100 km", at_most="100000 km")]
Latitude = Annotated[float, Quantity("angle", at_least="-89.9 deg", at_most="89.9 deg")]
Longitude = Annotated[float, Quantity("angle", at_least="-360 deg", at_most="360 deg")]
Heading = Annotated[float, Quantity("angle", at_least="0 deg", at_most="360 deg")]
Climbing = Annotated[float, Quantity("angle", at_least="-89 deg", at_most="89 deg")]
Speed = Annotated[float, Quantity("speed", above="0 m/s", at_most="20 km/s", example="7793 m/s")]


def parking_orbit(
    when: str | date,
    *,
    altitude: str,
    latitude: str,
    longitude: str,
    speed: str,
    heading: str,
    flight_path_angle: str = "0 deg",
    latitude_is: str = "geodetic",
    speed_is: str = "inertial",
) -> ParkingOrbit:
    """Return the orbit about Earth that an insertion makes, as the insertion is published.

    At `when` (UTC), `altitude` above the ellipsoid WGS 84 over a `latitude` ("geodetic" or
    "geocentric" by `latitude_is`) and east `longitude`; `heading` (clockwise from the north of the
    true equator) and `flight_path_angle` are those of the velocity, against the plane across the
    radius. `speed_is` "inertial" or "over ground": then both angles are over the turning ground
    too. Elements are those of the moment, about Earth's true equator of date (Vallado 2013, alg.
    9); J2 makes them breathe by some km a revolution. UT1 is taken as UTC, 0.004 deg of the node at
    most. ArgumentError for bad input, a hyperbola or a parabola.

        >>> import mplan
        >>> orbit = mplan.parking_orbit(
        ...     "2031-05-25 20:00", altitude="191 km", latitude="32.5 deg", longitude="-52.7 deg",
        ...     speed="7793.1 m/s", heading="88.8 deg", latitude_is="geocentric")
        >>> round(orbit.perigee_altitude / 1e3, 2), round(orbit.apogee_altitude / 1e3, 2)  # km
        (184.24, 184.8)
    """
    t = moment("when", when)
    above = quantity("altitude", altitude, Altitude)
    north = quantity("latitude", latitude, Latitude)
    east = quantity("longitude", longitude, Longitude)
    geodetic = choice("latitude_is", latitude_is, LATITUDES) == "geodetic"
    place = _geodetic(north, east, above) if geodetic else _geocentric(north, east, above)
    v = _velocity(
        place,
        quantity("speed", speed, Speed),
        quantity("flight_path_angle", flight_path_angle, Climbing),
        quantity("heading", heading, Heading),
    )
    if choice("speed_is", speed_is, SPEEDS) == "over ground":
        v = v + c.W_EARTH * cross(NORTH, place)
    escape = sqrt(2.0 * c.MU_EARTH / float(np.linalg.norm(place)))
    if float(np.linalg.norm(v)) >= escape:
        accepted = f"less than {escape:,.1f} m/s, that of escape, inertial"
        raise ArgumentError("speed", f'"{speed}"', accepted)
    turn = erfa.rz(-earth.sidereal_angle(t), np.eye(3))  # Earth-fixed axes to those of date
    return _elements(t, turn @ place, turn @ v)


def _geodetic(latitude: float, longitude: float, altitude: float) -> np.ndarray:
    """Return a place [m] in Earth-fixed axes, its height along the ellipsoid's normal."""
    return earth.earth_fixed(longitude, latitude, altitude)


def _geocentric(latitude: float, longitude: float, altitude: float) -> np.ndarray:
    """Return a place [m] in Earth-fixed axes, its height along the line to Earth's centre."""
    flat = cos(latitude)
    towards = np.array([flat * cos(longitude), flat * sin(longitude), sin(latitude)])
    return (earth.surface_radius(sin(latitude)) + altitude) * towards


def _velocity(place: np.ndarray, speed: float, climbing: float, heading: float) -> np.ndarray:
    """Return the velocity [m/s] over the horizontal at a place, in its axes."""
    up = unit(place)
    east = unit(cross(NORTH, up))
    level = cos(heading) * cross(up, east) + sin(heading) * east
    return speed * (sin(climbing) * up + cos(climbing) * level)


def _elements(t: float, r: np.ndarray, v: np.ndarray) -> ParkingOrbit:
    """Return the orbit of a state in the axes of the true equator of date."""
    of_date = earth.true_equator(t)
    a, e, true_anomaly = _shape(r, v)
    axis = unit(cross(r, v))
    node = np.array([-axis[1], axis[0], 0.0])
    node = unit(node) if node.any() else np.array([1.0, 0.0, 0.0])
    argument = atan2(float(cross(axis, node) @ r), float(node @ r))
    return ParkingOrbit(
        StateVector(t, r @ of_date, v @ of_date, EARTH_FRAME),
        a,
        e,
        acos(max(-1.0, min(1.0, float(axis[2])))),
        atan2(float(node[1]), float(node[0])) % (2.0 * pi),
        (argument - true_anomaly) % (2.0 * pi),
        true_anomaly % (2.0 * pi),
    )


def _shape(r: np.ndarray, v: np.ndarray) -> tuple[float, float, float]:
    """Return semi-major axis [m], eccentricity and true anomaly [rad]; a circle's begins here."""
    try:
        orbit = conic(r, v, c.MU_EARTH)
    except ValueError:  # a circle to the last digit
        return float(np.linalg.norm(r)), 0.0, 0.0
    return orbit.a, orbit.e, orbit.true_anomaly
