"""Home from the place that a plan leaves a lunar orbit at, where the orbit or the day is another.

The place and the asymptote of the planned return turn with the Moon about Earth. From where the
orbit then comes over that place one Newton's method finds the burn; the place itself is not sought
again, for near the best place the burn grows by the square of how far off it is.
"""

from __future__ import annotations

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs.bplane import asymptote
from mplan.physics.arcs.homeward import SCALING, Homeward, correct_return, departures
from mplan.physics.arcs.lunar_orbit import ROUND, LunarOrbit, coast, until_over
from mplan.physics.bodies import ephemeris
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import cross, unit


def target_return_as(
    planned: Homeward, orbit: LunarOrbit, *, time_of_flight: float, entry_angle: float
) -> Homeward:
    """Return the burn from the planned place of the revolution that follows `orbit`, a circle.

    The arc meets the entry interface after `time_of_flight` [s] at `entry_angle` [rad, below
    zero]. NoArc from an ellipse, whose places are not alike, and where Newton's method finds none.
    """
    if orbit.e > ROUND:
        raise NoArc("the places of an ellipse are not alike")
    here = planned.leaving
    back = asymptote(here.r, -(here.v + planned.burn), c.MU_MOON)  # seen backwards in time
    about = coast(orbit, until_over(orbit, _turned_with_moon(here.r, here.t, orbit.t)))
    leaving = coast(about, _short(about, _turned_with_moon(here.r, here.t, about.t)))
    outward = _turned_with_moon(-back.v_inf * back.s, here.t, leaving.t)
    burn = departures(leaving.r[None], outward[None])[0, 0] - leaving.v
    return correct_return(leaving, burn, time_of_flight, entry_angle, SCALING)


def _short(orbit: LunarOrbit, place: np.ndarray) -> float:
    """Return the time [s] until a circle is over a place that is near, below zero past it."""
    angle = orbit.angle_to(place)
    return (angle - 2.0 * np.pi if angle > np.pi else angle) / (2.0 * np.pi) * orbit.period


def _turned_with_moon(vector: np.ndarray, then: float, now: float) -> np.ndarray:
    """Return a vector (3,) turned as the Moon's place and path are from `then` to `now` [TDB s]."""
    return _axes(now).T @ (_axes(then) @ vector)


def _axes(t: float) -> np.ndarray:
    """Return unit vectors to the Moon, along its path and about it, in rows."""
    luna = ephemeris.moon(t)
    up, about = unit(luna.r), unit(cross(luna.r, luna.v))
    return np.array([up, cross(about, up), about])
