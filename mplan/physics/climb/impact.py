"""Where what is dropped, or what does not reach orbit, comes down, and within which ellipse.

Each body falls whole and tumbling through the air (`fall`). Errors, one standard deviation each,
are taken as small and independent: the place moves in proportion to each, which its own fall
tells, and a covariance follows (the usual linear one: Montenbruck & Gill 2000, sec. 8.1). The
ellipse of three standard deviations holds 98.9 % of falls, if errors are as stated; debris of what
breaks up falls outside of it. Hazard areas are the range authority's, by its own reckoning.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import acos, atan2, cos, inf, pi, sin
from typing import NamedTuple

import numpy as np

from mplan.physics.bodies.earth import geocentric_latitude
from mplan.physics.climb import fall
from mplan.physics.climb.fall import Place
from mplan.physics.climb.motion import Numbers, ground_velocity
from mplan.physics.climb.track import ground_place
from mplan.physics.climb.weather import CALM, DESIGN_WIND, Weather
from mplan.physics.constants import DEG, R_EARTH
from mplan.physics.vectors import cross, turned, unit

SIGMAS = 3.0  # semi-axes of the ellipse, in standard deviations
STRONGEST = max(speed for _, speed in DESIGN_WIND)  # m/s


class Falling(NamedTuple):
    """A body let go at `t` [s] in a state as in `motion`: its mass [kg] and drag area [m2].

    The area is times the drag coefficient, over all attitudes of a tumbling body; none, no drag.
    """

    name: str
    t: float
    state: Numbers
    mass: float
    drag_area: float = 0.0

    @property
    def ballistic(self) -> float:
        """Ballistic coefficient [kg/m2]."""
        return self.mass / self.drag_area if self.drag_area > 0.0 else inf


@dataclass(frozen=True)
class FallErrors:
    """Errors of a fall, one standard deviation each.

    Of the ballistic coefficient as a share, of the speed [m/s] and each of two directions [rad]
    at separation, of each component of the wind where it is strongest [m/s], 10 to 14 km up.
    """

    ballistic: float = 0.30
    speed: float = 5.0
    direction: float = 0.3 * DEG
    wind: float = 20.0


class Impact(NamedTuple):
    """A place on the ground: geocentric latitude, longitude east of the pad, range [rad]; t [s].

    The range is the angle at Earth's centre from the pad.
    """

    name: str
    t: float
    latitude: float
    east: float
    range: float


class Ellipse(NamedTuple):
    """An ellipse on the ground: semi-axes [m], and the azimuth [rad] of the greater one."""

    major: float
    minor: float
    azimuth: float


class Footprint(NamedTuple):
    """Where a body comes down, the ellipse about that place, and its speed there [m/s].

    No ellipse where a body that errs by one standard deviation stays up.
    """

    body: Falling
    impact: Impact
    ellipse: Ellipse | None
    speed: float


def impact(body: Falling, pad_latitude: float, weather: Weather = CALM) -> Impact | None:
    """Return where a body comes down, or None if it stays up."""
    down = fall.fall(body.t, _place(body), body.ballistic, fall.air_for(weather))
    return _at(body.name, *down, pad_latitude) if down else None


@lru_cache(maxsize=256)
def footprint(
    body: Falling, pad_latitude: float, weather: Weather, errors: FallErrors
) -> Footprint | None:
    """Return where a body comes down and within which ellipse, or None if it stays up."""
    start, calm = _place(body), fall.air_for(weather)
    down = fall.fall(body.t, start, body.ballistic, calm)
    if down is None:
        return None
    there = _at(body.name, *down, pad_latitude)
    speed = float(np.linalg.norm(ground_velocity(down[1])))
    off = [fall.fall(body.t, *each) for each in _erring(body, weather, errors)]
    if not all(off):
        return Footprint(body, there, None, speed)
    moved = np.array([_moved(there, *each) for each in off if each])
    return Footprint(body, there, ellipse_of(moved.T @ moved), speed)


def ellipse_of(covariance: np.ndarray) -> Ellipse:
    """Return the ellipse of a covariance (2, 2) [m2] of places to the east and north."""
    values, axes = np.linalg.eigh(covariance)
    minor, major = SIGMAS * np.sqrt(np.maximum(values, 0.0))
    east, north = axes[:, 1]
    return Ellipse(float(major), float(minor), float(atan2(east, north) % pi))


def outline(found: Footprint, count: int = 48, share: float = 1.0) -> list[tuple[float, float]]:
    """Return geocentric latitudes and longitudes east of the pad [rad] round an ellipse.

    Or round one that is a `share` of it in size.
    """
    there, ellipse = found.impact, found.ellipse
    if ellipse is None:
        return [(there.latitude, there.east)]
    angle = 2.0 * pi * np.arange(count) / count
    along, aside = share * ellipse.major * np.cos(angle), share * ellipse.minor * np.sin(angle)
    azimuth = ellipse.azimuth + np.arctan2(aside, along)
    latitude, east = _beyond(there, np.hypot(along, aside) / R_EARTH, azimuth)
    return list(zip(latitude.tolist(), east.tolist(), strict=True))


def _beyond(there: Impact, angle: np.ndarray, azimuth: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the places angles [rad] away from an impact towards azimuths, on a sphere."""
    up, level = sin(there.latitude), cos(there.latitude)
    far, near = np.sin(angle), np.cos(angle)
    sine = np.clip(up * near + level * far * np.cos(azimuth), -1.0, 1.0)
    east = np.arctan2(np.sin(azimuth) * far * level, near - up * sine)
    return np.arcsin(sine), there.east + east


def _erring(
    body: Falling, weather: Weather, errors: FallErrors
) -> list[tuple[Place, float, fall.FallAir]]:
    """Return what falls with each error at one standard deviation, the others at none."""
    start, calm, ballistic = _place(body), fall.air_for(weather), body.ballistic
    r, v = np.array(start[:3]), np.array(start[3:])
    over = np.array(ground_velocity(body.state))
    ahead = unit(over)
    side = unit(cross(ahead, r))
    steeper = turned(over, side, errors.direction) - over
    aside = turned(over, unit(r), errors.direction) - over
    pushes = (errors.speed * ahead, steeper, aside)
    gust = errors.wind / STRONGEST
    erring = [(_state(r, v + push), ballistic, calm) for push in pushes]
    if ballistic < inf:
        erring.append((start, ballistic * (1.0 + errors.ballistic), calm))
        erring += [(start, ballistic, fall.air_for(weather, (gust, x))) for x in (0.0, pi / 2.0)]
    return erring


def _state(r: np.ndarray, v: np.ndarray) -> Place:
    x, y, z, vx, vy, vz = (float(each) for each in (*r, *v))
    return x, y, z, vx, vy, vz


def _place(body: Falling) -> Place:
    x, y, z, vx, vy, vz = body.state[:6]
    return x, y, z, vx, vy, vz


def _moved(there: Impact, t: float, s: Place) -> tuple[float, float]:
    """Return how far to the east and north [m] of an impact another fall ends."""
    latitude, east = ground_place(t, s)
    aside = (east - there.east + pi) % (2.0 * pi) - pi
    return R_EARTH * cos(there.latitude) * aside, R_EARTH * (latitude - there.latitude)


def _at(name: str, t: float, s: Place, pad_latitude: float) -> Impact:
    latitude, east = ground_place(t, s)
    pad = geocentric_latitude(pad_latitude)
    along = sin(pad) * sin(latitude) + cos(pad) * cos(latitude) * cos(east)
    return Impact(name, t, latitude, east, acos(max(-1.0, min(1.0, along))))
