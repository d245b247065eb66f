"""How far ahead the ship has to be at insertion for a rendezvous to run as planned.

Closed form, for a ship on a circle and an insertion at perilune in its plane.
"""

from __future__ import annotations

from math import asin, atan2, cos, pi, sin, sqrt

from mplan.physics.constants import MU_MOON
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.terms import Terms
from mplan.physics.twobody import period


def angle_at(elevation: float, radius: float, circle: float) -> float:
    """Return by which angle [rad] a craft on `circle` [m] is ahead when seen at `elevation`.

    From the triangle of the Moon's centre, the observer at `radius` [m] below it and the craft.
    NoMeeting where the observer is not below it.
    """
    if radius >= circle:
        raise NoMeeting("the insertion orbit does not pass below the ship's")
    return pi / 2.0 - elevation - asin(radius * cos(elevation) / circle)


def required_lead(
    terms: Terms, low: float, high: float, circle: float, mu: float = MU_MOON
) -> float:
    """Return the angle [rad] by which the ship is to be ahead at insertion.

    `low` and `high` [m] are perilune and apolune radius of the insertion orbit, `circle` the
    radius of the ship's, `mu` [m3/s2] that of the body. Flown so, the terminal phase begins as long
    after insertion, or after the coelliptic burn, as the terms say.
    """
    rate = sqrt(mu / circle**3)
    a, e = (low + high) / 2.0, (high - low) / (high + low)
    if terms.schedule == "direct":
        anomaly = _anomaly(e, 2.0 * pi * terms.wait / period(a, mu))
        radius = a * (1.0 - e * e) / (1.0 + e * cos(anomaly))
        return angle_at(terms.elevation, radius, circle) + anomaly - rate * terms.wait
    level = circle - terms.height
    raising = period((high + level) / 2.0, mu) / 2.0
    phasing = (terms.revolutions - 0.5) * period(a, mu) + raising
    gained = 2.0 * pi * terms.revolutions - rate * phasing
    slower = (sqrt(mu / level**3) - rate) * terms.coast
    return angle_at(terms.elevation, level, circle) + gained + slower


def _anomaly(e: float, mean: float) -> float:
    """Return the true anomaly [rad] at a mean anomaly, going on past a whole turn."""
    eccentric = mean
    for _ in range(12):
        eccentric -= (eccentric - e * sin(eccentric) - mean) / (1.0 - e * cos(eccentric))
    turn = atan2(sqrt(1.0 - e * e) * sin(eccentric), cos(eccentric) - e)
    return turn + 2.0 * pi * round((eccentric - turn) / (2.0 * pi))
