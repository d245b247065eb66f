"""Sun and Earth over a place on the Moon, Sun and Moon over one on Earth, at one time or many."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import cos, degrees, isnan, sin

import numpy as np

from mplan.physics.bodies import earth, ephemeris, horizon, selenography
from mplan.physics.bodies.horizon import Direction
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.vectors import freeze, frozen
from mplan.scenario.arguments import ArgumentError, choice, moment, quantity
from mplan.scenario.models import Elevation, Latitude, Longitude
from mplan.transfer_results import Printed, date_of

NORTH = np.array([0.0, 0.0, 1.0])
ON = ("Moon", "Earth")
MOST = 100_000  # times in one go


@dataclass(frozen=True, eq=False, repr=False)
class SkyOver(Printed):
    """What stands where over a place on the body `on`: angles in [rad], distances in [m].

    `t` [TDB s past J2000], `sun` and `other` have the shape (n,) for n times, () for one; `other`
    is Earth over the Moon, the Moon over Earth.
    """

    on: str
    latitude: float
    longitude: float
    t: np.ndarray
    sun: Direction
    other: Direction

    def __post_init__(self) -> None:
        """Make the arrays read-only."""
        freeze(self)

    @property
    def earth(self) -> Direction:
        """Where Earth stands over a place on the Moon; AttributeError over one on Earth."""
        return self._of("Moon")

    @property
    def moon(self) -> Direction:
        """Where the Moon stands over a place on Earth; AttributeError over one on the Moon."""
        return self._of("Earth")

    @property
    def utc(self) -> tuple[datetime, ...]:
        """The times."""
        return tuple(utc_from_tdb(float(t)) for t in np.atleast_1d(self.t))

    def _of(self, on: str) -> Direction:
        if self.on != on:
            raise AttributeError(f"`other` is what else is seen from a place on the {self.on}")
        return self.other

    def _facts(self) -> Iterator[tuple[str, str]]:
        place = f"{degrees(self.latitude):.4f} N, {degrees(self.longitude):.4f} E"
        yield "place", f"{place}, on {'the Moon' if self.on == 'Moon' else 'Earth'}"
        times = np.atleast_1d(self.t)
        for i in range(len(times)) if len(times) < 2 else (0, -1):
            yield "time", date_of(float(times[i]))
            yield "  Sun", _words(self.sun, i)
            yield f"  {'Earth' if self.on == 'Moon' else 'Moon'}", _words(self.other, i)
        if len(times) > 2:
            yield "", f"first and last of {len(times)} times"


def sky(
    when: str | date | Sequence[str | date],
    *,
    latitude: str,
    longitude: str,
    on: str = "Moon",
    elevation: str = "0 km",
) -> SkyOver:
    """Return altitude and azimuth of Sun and Earth over a place on the Moon at `when` (UTC).

    `when` is one date or a list of them. On "Earth", Sun and Moon. Azimuths from north by east,
    altitudes of the bodies' centres over a level horizon without hills or refraction. On the Moon
    east `longitude` is in mean-Earth axes (Archinal et al. 2011), `elevation` over the sphere of
    1737.4 km; on Earth latitude is geodetic, elevation over the ellipsoid. Straight lines between
    places at one time (DE421): light time and aberration shift the Sun by 0.006 deg. On Earth UT1
    is taken as UTC, 0.004 deg at most; the lunar axes are out by 0.005 deg. At a pole the azimuth
    is NaN. ArgumentError for bad input.

        >>> import mplan
        >>> over = mplan.sky("2031-05-30 12:00", latitude="0.5 deg", longitude="24.7 deg")
        >>> over
        SkyOver
          place                       0.5000 N, 24.7000 E, on the Moon
          time                        2031-05-30 12:00:00 UTC
            Sun                       43.887 deg high, azimuth 90.843 deg
            Earth                     57.660 deg high, azimuth 281.095 deg
          A planning study, not flight approval.
        >>> hourly = [f"2031-05-30 {hour}:00" for hour in (12, 13)]
        >>> mplan.sky(hourly, latitude="0.5 deg", longitude="24.7 deg").sun.altitude.shape
        (2,)
    """
    body = choice("on", on, ON)
    north, east = (
        quantity("latitude", latitude, Latitude),
        quantity("longitude", longitude, Longitude),
    )
    height = quantity("elevation", elevation, Elevation)
    t = _times(when)
    seen = _over_moon if body == "Moon" else _over_earth
    sun, other = seen(north, east, height, t)
    return SkyOver(body, north, east, t, sun, other)


def _times(when: str | date | Sequence[str | date]) -> np.ndarray:
    """Return TDB seconds past J2000, shape () or (n,)."""
    if isinstance(when, (str, date)) or not isinstance(when, (Sequence, np.ndarray)):
        return np.array(moment("when", when))
    if not 0 < len(when) <= MOST:
        raise ArgumentError("when", f"{len(when)} dates", f"1 to {MOST}")
    return np.array([moment("when", each) for each in when])


def _over_moon(
    latitude: float, longitude: float, elevation: float, t: np.ndarray
) -> tuple[Direction, Direction]:
    """Return where Sun and Earth stand."""
    places = [selenography.site_position(latitude, longitude, x, elevation) for x in _each(t)]
    poles = [selenography.lunar_pole(x) for x in _each(t)]
    place, pole = _as(t, places), _as(t, poles)
    from_earth = ephemeris.moon(t).r + place
    sun = horizon.over_horizon(ephemeris.sun(t).r - from_earth, place, pole)
    return sun, horizon.over_horizon(-from_earth, place, pole)


def _over_earth(
    latitude: float, longitude: float, elevation: float, t: np.ndarray
) -> tuple[Direction, Direction]:
    """Return where Sun and Moon stand."""
    fixed = earth.earth_fixed(longitude, latitude, elevation)
    flat = cos(latitude)
    up = np.array([flat * cos(longitude), flat * sin(longitude), sin(latitude)])
    axes = _as(t, [earth.earth_fixed_axes(x) for x in _each(t)])
    found = (
        horizon.over_horizon(np.einsum("...ij,...j->...i", axes, body(t).r) - fixed, up, NORTH)
        for body in (ephemeris.sun, ephemeris.moon)
    )
    sun, moon = found
    return sun, moon


def _each(t: np.ndarray) -> list[float]:
    return [float(x) for x in np.atleast_1d(t)]


def _as(t: np.ndarray, rows: list[np.ndarray]) -> np.ndarray:
    """Return one row for one time, rows stacked for several."""
    return frozen(np.array(rows) if t.ndim else rows[0])


def _words(seen: Direction, i: int) -> str:
    altitude, azimuth = (float(np.atleast_1d(x)[i]) for x in seen[:2])
    way = "no azimuth at the pole" if isnan(azimuth) else f"azimuth {degrees(azimuth):.3f} deg"
    return f"{degrees(altitude):.3f} deg high, {way}"
