"""A launch at a given clock time: the azimuth that then leads to the Moon.

At any moment one plane through the launch site and the Moon's place at arrival is flown
eastwards. Its azimuth is the first guess; Newton's method on integrated arcs does the rest, with
the azimuth in the place of the lift-off time among the unknowns of `outbound`.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, sin

import numpy as np

from mplan.physics.arcs import outbound
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.earth import geocentric_latitude, true_equator_of_day
from mplan.physics.targeting import Scaling, solve
from mplan.physics.vectors import cross, unit

SCALING = Scaling(
    step=np.array([1e-5, 1e-5, 0.01]),  # rad, rad, m/s
    limit=np.array([0.08, 0.08, 40.0]),
    tolerance=outbound.SCALING.tolerance,
)
USUAL_COAST = 6000.0  # s in the parking orbit, for the Moon's place in the first guess


def target_at_launch_time(
    parking: Parking,
    lift_off: float,
    *,
    revolutions: int,
    time_of_flight: float,
    perilune: float,
    plane: outbound.LunarPlane,
) -> outbound.Outbound:
    """Return the flight of `outbound.target_outbound` that lifts off at `lift_off` [TDB s].

    The azimuth it takes stands in the flight's `parking.site`. NoArc if there is none.
    """
    azimuth, side = eastward(parking, lift_off, time_of_flight)
    guessed = _along(parking, lift_off, azimuth)
    _, argument, burn = outbound.guess_outbound(guessed, revolutions, time_of_flight, side)

    def flown(x: np.ndarray) -> outbound.Outbound:
        orbit = _along(parking, lift_off, float(x[0]))
        unknowns = np.array([0.0, x[1], x[2]])
        return outbound.fly_outbound(orbit, revolutions, unknowns, 1.6 * time_of_flight)

    def miss(x: np.ndarray) -> np.ndarray:
        return outbound.passage_miss(flown(x), time_of_flight, perilune, plane)

    return flown(solve(miss, np.array([azimuth, argument, burn]), SCALING))


def eastward(
    parking: Parking, lift_off: float, time_of_flight: float
) -> tuple[float, outbound.Side]:
    """Return the azimuth [rad] of the eastward plane through site and Moon, and the Moon's side.

    The Moon is taken where it stands at arrival, after a usual coast in the parking orbit.
    """
    arrival = lift_off + parking.site.climb + USUAL_COAST + time_of_flight
    moon = true_equator_of_day(lift_off) @ unit(ephemeris.moon(arrival).r)
    east_of = parking.longitude(lift_off)
    latitude = geocentric_latitude(parking.site.latitude)
    flat = cos(latitude)
    site = np.array([flat * cos(east_of), flat * sin(east_of), sin(latitude)])
    east = np.array([-sin(east_of), cos(east_of), 0.0])
    normal = cross(site, moon)
    if cross(normal, site) @ east < 0.0:
        normal = -normal
    ahead = cross(normal, site)
    side: outbound.Side = "ascending" if cross(normal, moon)[2] > 0.0 else "descending"
    return atan2(float(ahead @ east), float(ahead @ cross(site, east))), side


def _along(parking: Parking, lift_off: float, azimuth: float) -> Parking:
    return replace(parking, t=lift_off, site=replace(parking.site, azimuth=azimuth))
