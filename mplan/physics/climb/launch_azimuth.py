"""The launch azimuth, over the turning ground, and that of the orbit's plane to which it leads.

A vehicle leaves the pad along its launch azimuth, which range safety limits. Over the pad the
inertial plane of its orbit points nearer to due east: the ground brings a velocity of its own, up
to 465 m/s eastwards. What of that lies across the plane is made up for while still in the air,
where the speed over ground is `TURN_SPEED`; the rest is steered out above.

    launch azimuth = plane azimuth - w R cos(latitude) cos(plane azimuth) / TURN_SPEED

Where along the climb a vehicle makes up for it is a matter of its guidance. Propellant left hardly
tells: from 3,500 to 5,500 m/s it changes by 0.1 % of what is left. Flown lunar launches at 72 deg
had planes 1.5 deg nearer to due east, this law says 1.8 deg (`tests/published`).
"""

from __future__ import annotations

from math import cos, pi

from mplan.physics import constants as c
from mplan.physics.bodies.earth import geocentric_latitude

TURN_SPEED = 3500.0  # m/s over ground, at which the ascent heads along its orbit
TURNS = 20  # of the fixed point below; each is seven times as near at the least


def over_ground(plane_azimuth: float, latitude: float) -> float:
    """Return the launch azimuth [rad] that leads to a plane's azimuth [rad] over the pad.

    `latitude` [rad] is geodetic. Both count clockwise from north.
    """
    return plane_azimuth - _share(latitude) * cos(plane_azimuth)


def of_plane(launch_azimuth: float, latitude: float) -> float:
    """Return the azimuth [rad] over the pad of the plane that a launch azimuth [rad] leads to.

    The inverse of `over_ground`: a fixed point, as the ground is slow beside `TURN_SPEED`.
    """
    share, plane = _share(latitude), launch_azimuth
    for _ in range(TURNS):
        plane = launch_azimuth + share * cos(plane)
    return plane


def limits_of_plane(low: float, high: float, latitude: float) -> tuple[float, float]:
    """Return the limits [rad] of the plane's azimuth that limits of the launch azimuth lead to.

    The plane's azimuth stays within a turn from north; what would lie beyond is left out.
    """
    found = (of_plane(x, latitude) for x in (low, high))
    least, greatest = (min(2.0 * pi, max(0.0, x)) for x in found)
    return least, greatest


def _share(latitude: float) -> float:
    """Return the speed of the ground over `TURN_SPEED`."""
    return c.W_EARTH * c.R_EARTH * cos(geocentric_latitude(latitude)) / TURN_SPEED
