"""How far a burn leads, how long it takes and under which azimuth the Moon lies: closed forms."""

from __future__ import annotations

from math import atan2, cos, pi, sin, sqrt, tan

from mplan.physics import constants as c
from mplan.physics.twobody import circular_speed, hohmann, time_since_periapsis, true_anomaly_at

DAY_HOURS = 24.0


def burn_towards(r: float, far: float) -> float:
    """Return the least burn [m/s] in a circle of radius `r` [m] that reaches a distance [m]."""
    return hohmann(r, far, c.MU_EARTH).burns[0]


def reach(r: float, burn: float) -> float:
    """Return how far [m] from Earth's centre a forward burn [m/s] in a circle `r` [m] leads.

    Vis-viva (Vallado 2013, ch. 1). ValueError from the escape speed on: it leads out for good.
    """
    v = circular_speed(r, c.MU_EARTH) + burn
    if v >= sqrt(2.0 * c.MU_EARTH / r):
        raise ValueError(f"after a burn of {burn:,.0f} m/s nothing comes back: it escapes Earth")
    return 2.0 / (2.0 / r - v * v / c.MU_EARTH) - r


def time_to(r: float, far: float, burn: float) -> float:
    """Return how long [s] it takes from a burn [m/s] in a circle `r` [m] to a distance [m].

    Kepler's equation on the conic, ellipse or hyperbola, from its near end (Vallado 2013, ch. 2).
    """
    v = circular_speed(r, c.MU_EARTH) + burn
    a = 1.0 / (2.0 / r - v * v / c.MU_EARTH)
    e = 1.0 - r / a
    return time_since_periapsis(a, e, true_anomaly_at(far, a, e), c.MU_EARTH)


def azimuth_towards(latitude: float, declination: float, hours: float) -> float:
    """Return the azimuth [deg], 0 to 180, of the eastward plane over a site that holds the Moon.

    `latitude` and `declination` in [deg]; `hours` since the site passed under the Moon, whose own
    motion is left out. A great circle's course at its start (Vallado 2013, ch. 3, spherical
    triangle); a plane also holds the point opposite to the Moon.
    """
    turn = -2.0 * pi * hours / DAY_HOURS  # of the Moon from the site, eastwards
    north, tilt = latitude * c.DEG, declination * c.DEG
    course = atan2(sin(turn), cos(north) * tan(tilt) - sin(north) * cos(turn))
    return (course / c.DEG) % 180.0
